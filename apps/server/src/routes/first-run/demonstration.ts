import { PHOTOGRAPHERS, sizeOfLibrary } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { line } from "../practice/fields.ts";

/** What goes with the demonstration. */
export interface DemonstrationSize {
  readonly department: string;
  readonly patients: number;
  readonly requests: number;
  readonly frames: number;
}

/** The demonstration's data removed in one act, by whoever answers for the library. */
export const demonstrationRoutes: Area = (app, { desk, practice, isDemonstration, startOver }) => {
  const config = { may: PHOTOGRAPHERS };
  app.get("/demonstration", { config }, async (): Promise<DemonstrationSize> => {
    if (!isDemonstration) throw none();
    return { department: (await practice()).department, ...(await sizeOfLibrary(desk)) };
  });
  const body = z.object({ typed: line(200), keepPractice: z.boolean() });
  app.post("/demonstration/remove", { config, schema: { body } }, async (request, reply) => {
    const { role, personId } = who(request);
    if (!isDemonstration) throw none();
    if (personId != null && role !== "lead") {
      throw new SamescaleError(
        "ROLE_NOT_ALLOWED",
        "Removing the demonstration is for the lead",
        "Ask the lead.",
      );
    }
    const { typed, keepPractice } = request.body;
    const { department } = await practice();
    if (typed !== department) {
      throw new SamescaleError(
        "NOT_CONFIRMED",
        "Nothing was removed: what was typed is not the name of the department",
        `Type ${department} exactly as it stands there.`,
      );
    }
    if (!startOver) {
      throw new SamescaleError(
        "DEMO_NOT_REMOVED",
        "This server cannot begin anew by itself",
        "End it and make a library of your own: samescale serve --library FOLDER.",
      );
    }
    reply.raw.once("finish", () => startOver({ keepPractice }));
    return { startsOver: true };
  });
};

const none = () =>
  new SamescaleError("DEMO_NOT_REMOVED", "This library is no demonstration", "There is nothing to remove.");
