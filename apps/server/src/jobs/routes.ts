import { ROLES } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { App } from "../deps.ts";
import { who } from "../identity/who.ts";
import type { Job, Jobs } from "./jobs.ts";

const config = { may: ROLES };
const params = z.object({ id: z.uuid() });

/** Long work: how far it is, and its stop. */
export function jobRoutes(app: App, jobs: Jobs): void {
  app.get("/jobs", { config }, async (request): Promise<Job[]> => jobs.jobsOf(who(request)));
  app.get("/jobs/:id", { config, schema: { params } }, async (request): Promise<Job> => {
    const job = jobs.jobOf(who(request), request.params.id);
    if (job) return job;
    throw unknown();
  });
  app.post("/jobs/:id/stop", { config, schema: { params } }, async (request) => {
    if (!jobs.stop(who(request), request.params.id)) throw unknown();
    return { stopped: true };
  });
}

const unknown = () =>
  new SamescaleError(
    "JOB_UNKNOWN",
    "This work is not known here any more",
    "The server was started anew: begin the work again; what was done is kept.",
  );
