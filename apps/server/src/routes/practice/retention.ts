import {
  type Destroyed,
  destroyPictures,
  doneOrThrow,
  find,
  liftHold,
  listHolds,
  PHOTOGRAPHERS,
  placeHold,
  type RetentionProposal,
  type Role,
  requestByCode,
  retentionProposals,
  takeBackFrames,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { RetentionRule } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { because, day, line } from "./fields.ts";

export interface ShownHold {
  readonly id: string;
  readonly subject: string;
  /** Of a request. */
  readonly code: string | null;
  readonly because: string;
  readonly placedBy: string;
  readonly since: string;
}

export interface ShownTrash {
  readonly frameId: string;
  readonly name: string;
  readonly at: string | null;
  readonly code: string | null;
}

export interface ShownRetention {
  readonly today: string;
  readonly rules: readonly RetentionRule[];
  readonly ageOfMajority: number;
  readonly proposals: readonly RetentionProposal[];
  readonly holds: readonly ShownHold[];
  readonly trash: readonly ShownTrash[];
  /** Destroying is for the lead, in a library with accounts. */
  readonly mayDestroy: boolean;
}

/** More than a page shows; the rest follows when these are decided. */
const MOST = 500;
const LEAD: readonly Role[] = ["lead"];
const code = line(80);

/** How long pictures are kept, what holds them, and what is over its time. */
export const retentionRoutes: Area = (app, { desk, practice }) => {
  const config = { may: PHOTOGRAPHERS };
  app.get(
    "/practice/retention",
    { config, schema: { querystring: z.object({ on: day.exactOptional() }) } },
    async (request): Promise<ShownRetention> => {
      const actor = who(request);
      const { retention, consent } = await practice();
      const today = desk.library.clock().toISOString().slice(0, 10);
      const proposals: RetentionProposal[] = [];
      for await (const one of retentionProposals(
        desk,
        actor,
        { retention, consent },
        request.query.on ?? today,
      )) {
        proposals.push(one);
        if (proposals.length === MOST) break;
      }
      const aside = await find(desk, actor, {
        ...{ kind: "trash", text: "", facets: {}, from: null, until: null, limit: MOST, after: null },
      });
      const holds = await listHolds(desk, actor, { lifted: false });
      return {
        ...{ today, rules: retention, ageOfMajority: consent.ageOfMajority, proposals },
        holds: holds.map(({ id, subject, because, placed_by, made_at, requestCode }) => ({
          ...{ id, subject, because, placedBy: placed_by, since: made_at.slice(0, 10) },
          code: requestCode,
        })),
        trash: aside.rows.map(({ id, name, at, request: of }) => ({
          ...{ frameId: id, name, at, code: of?.code ?? null },
        })),
        mayDestroy: actor.role === "lead",
      };
    },
  );
  app.post("/practice/holds", { config, schema: { body: z.object({ code, because }) } }, async (request) => {
    const actor = who(request);
    const { id } = await requestByCode(desk, actor, request.body.code);
    return doneOrThrow(await placeHold(desk, actor, { of: "request", id, because: request.body.because }));
  });
  app.post(
    "/practice/holds/:id/lift",
    { config: { may: LEAD }, schema: { params: z.object({ id: line(40) }), body: z.object({ because }) } },
    async (request) =>
      doneOrThrow(
        await liftHold(desk, who(request), { id: request.params.id, because: request.body.because }),
      ),
  );
  const destroying = z.object({ code, typed: code, because });
  app.post(
    "/practice/destroy",
    { config: { may: LEAD }, schema: { body: destroying } },
    async (request): Promise<Destroyed> => {
      const actor = who(request);
      const { code, typed, because } = request.body;
      // The second step: the code is typed anew, as nothing brings the pictures back.
      if (typed !== code) {
        throw new SamescaleError(
          "NOT_CONFIRMED",
          "Nothing was destroyed: what was typed is not the code of the request",
          `Type ${code} exactly as it stands there.`,
        );
      }
      const { id } = await requestByCode(desk, actor, code);
      const wanted = { requestId: id, frameIds: null, because, practice: await practice() };
      return doneOrThrow(await destroyPictures(desk, actor, wanted));
    },
  );
  app.post(
    "/practice/trash/back",
    { config, schema: { body: z.object({ frameIds: z.array(line(40)).min(1).max(2000), because }) } },
    async (request) => doneOrThrow(await takeBackFrames(desk, who(request), request.body)),
  );
};
