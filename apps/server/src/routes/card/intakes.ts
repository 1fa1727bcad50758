import { basename, resolve } from "node:path";
import { intakeOnRecord, type ListedIntake, listIntakes, PHOTOGRAPHERS } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { allowedFolder, type CardFolders, cardFolders } from "./folders.ts";
import { type CardFileResult, type CardResult, startTakeIn } from "./take-in-job.ts";

/** A card that was taken in, as people call it. */
export interface ListedCard extends ListedIntake {
  readonly name: string;
  /** It was dropped into the page: it is gone on with from there, not as a folder. */
  readonly isDropped: boolean;
}

/** A card on record, with what became of each file. */
export interface CardOnRecord {
  readonly intake: ListedCard;
  readonly files: readonly CardFileResult[];
}

/** Long work that was begun. */
export interface JobBegun {
  readonly job: string;
}
export type { CardResult };

const config = { may: PHOTOGRAPHERS };
const MOST_LISTED = 30;

/** Cards that lie at the server's machine, and all that were taken in. */
export const intakeRoutes: Area = (app, deps) => {
  const { desk } = deps;
  const dropped = resolve(deps.dropFolder);
  const listed = (intake: ListedIntake): ListedCard => ({
    ...intake,
    name: basename(intake.cardPath),
    isDropped: intake.cardPath.startsWith(`${dropped}/`),
  });
  app.get("/card/folders", { config }, async (): Promise<CardFolders> => await cardFolders(deps));

  app.post(
    "/card/take-in",
    { config, schema: { body: z.strictObject({ folder: z.string().min(1).max(1000) }) } },
    async (request): Promise<JobBegun> => {
      const folder = await allowedFolder(deps, request.body.folder);
      return { job: startTakeIn(deps, who(request), folder).id };
    },
  );

  app.get(
    "/card/intakes",
    { config },
    async (request): Promise<ListedCard[]> =>
      (await listIntakes(desk, who(request), MOST_LISTED)).map(listed),
  );

  app.get(
    "/card/intakes/:id",
    { config, schema: { params: z.object({ id: z.string().max(40) }) } },
    async (request): Promise<CardOnRecord> => {
      const found = await intakeOnRecord(desk, who(request), request.params.id);
      if (found) {
        const files = found.files.map(({ modifiedMs: _, ...file }) => ({ ...file, copies: null }));
        return { intake: listed(found.intake), files };
      }
      throw new SamescaleError(
        "INTAKE_UNKNOWN",
        "This card is not on record",
        "Look at the list of the cards that were taken in.",
      );
    },
  );
};
