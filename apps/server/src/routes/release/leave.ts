import {
  PHOTOGRAPHERS,
  type Refusal,
  releaseOut,
  requestByCode,
  type TriedRelease,
  tryRelease,
} from "@samescale/desk";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { byCode, formNamed, wantedBody, wantedOf } from "./fields.ts";
import { releasedFolder } from "./released-folder.ts";

/** How the job of a release ends. */
export type ReleaseEnd =
  | { readonly done: true; readonly id: string; readonly notSigned: string | null }
  | { readonly done: false; readonly refusals: readonly Refusal[] };

/** How the job of a trial ends: nothing has left. */
export type TrialEnd =
  | { readonly done: true; readonly tried: TriedRelease }
  | { readonly done: false; readonly refusals: readonly Refusal[] };

/** The one way out, as a job; and everything up to it, as a trial. A refusal is an answer, not a fault. */
export const leaveRoutes: Area = (app, { desk, pool, jobs }) => {
  const config = { may: PHOTOGRAPHERS };
  const schema = { params: byCode, body: wantedBody };
  const folder = releasedFolder(desk);

  app.post("/release/requests/:code/out", { config, schema }, async (request) => {
    const actor = who(request);
    const { id } = await requestByCode(desk, actor, request.params.code);
    const wanted = wantedOf(id, request.body);
    const form = formNamed(request.body.form);
    const job = jobs.start(actor, "Releasing", async (step, signal): Promise<ReleaseEnd> => {
      const into = { pool, form, releasedFolder: folder, signal, step: told(step) };
      const outcome = await releaseOut(desk, actor, wanted, into);
      if (!outcome.done) return { done: false, refusals: outcome.refusals };
      return { done: true, id: outcome.value.id, notSigned: outcome.value.notSigned };
    });
    return { job: job.id };
  });

  app.post("/release/requests/:code/try", { config, schema }, async (request) => {
    const actor = who(request);
    const { id } = await requestByCode(desk, actor, request.params.code);
    const wanted = wantedOf(id, request.body);
    const form = formNamed(request.body.form);
    const job = jobs.start(actor, "Making it on trial", async (step, signal): Promise<TrialEnd> => {
      const into = { pool, form, releasedFolder: folder, signal, step: told(step) };
      const outcome = await tryRelease(desk, actor, wanted, into);
      return outcome.done
        ? { done: true, tried: outcome.value }
        : { done: false, refusals: outcome.refusals };
    });
    return { job: job.id };
  });
};

const told =
  (step: (step: { done: number; total: number; at: string }) => void) => (done: number, total: number) =>
    step({ done, total, at: "pictures" });
