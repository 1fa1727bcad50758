import { addResearchProject, doneOrThrow, PHOTOGRAPHERS, researchProjects } from "@samescale/desk";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";

/** A research project of this library. */
export interface ListedProject {
  readonly id: string;
  readonly name: string;
  readonly since: string;
}

/** Research projects: each gives its patients codes of its own. The lead adds them. */
export const projectRoutes: Area = (app, { desk }) => {
  app.get(
    "/release/projects",
    { config: { may: PHOTOGRAPHERS } },
    async (request): Promise<readonly ListedProject[]> => researchProjects(desk, who(request)),
  );
  app.post(
    "/release/projects",
    { config: { may: ["lead"] }, schema: { body: z.strictObject({ name: z.string().max(200) }) } },
    async (request) => doneOrThrow(await addResearchProject(desk, who(request), request.body)),
  );
};
