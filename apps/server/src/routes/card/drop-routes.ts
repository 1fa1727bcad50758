import { PHOTOGRAPHERS } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { secondPlaceOf } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { isSettled, whyNotEmptied } from "./dropped.ts";
import { type Arrived, type Begun, type Drop, KEPT_DAYS, openDrops } from "./drops.ts";
import type { JobBegun } from "./intakes.ts";
import { ownerOf } from "./owner.ts";
import { startTakeIn } from "./take-in-job.ts";
import { MOST_FILE_BYTES, uploadRoutes } from "./upload.ts";

/** A card that was dropped and is not taken in yet. */
export interface OpenDrop extends Drop {
  /** Files that are wholly here. */
  readonly here: number;
  /** It is removed when nothing came to it for so long. */
  readonly keptDays: number;
}

/** What of a dropped card is here, so that the page sends only the rest. */
export interface DropState {
  readonly here: readonly Pick<Arrived, "given" | "bytes" | "modifiedMs">[];
  readonly begun: readonly Begun[];
}
export type { Begun, Drop };

const config = { may: PHOTOGRAPHERS };
const params = z.object({ drop: z.uuid() });
/** No card holds more. */
const MOST_FILES = 20_000;
const SWEEP_MS = 3_600_000;

const declared = z.strictObject({
  folder: z.string().min(1).max(300).nullable(),
  files: z.int().min(1).max(MOST_FILES),
  bytes: z
    .int()
    .min(0)
    .max(MOST_FILES * MOST_FILE_BYTES),
});

/** Cards that are dropped into the page: begun, sent file by file, then taken in like any other. */
export const dropRoutes: Area = (app, deps) => {
  const drops = openDrops(deps.dropFolder);
  uploadRoutes(app, drops, deps.dropFolder);
  const sweep = () => void drops.sweep(Date.now()).catch(() => {});
  sweep();
  const timer = setInterval(sweep, SWEEP_MS);
  timer.unref();
  app.addHook("onClose", async () => clearInterval(timer));

  app.get("/card/drops", { config }, async (request): Promise<OpenDrop[]> => {
    const person = ownerOf(who(request));
    const open: OpenDrop[] = [];
    for (const drop of await drops.all(person)) {
      open.push({ ...drop, here: (await drops.arrived(person, drop.id)).size, keptDays: KEPT_DAYS });
    }
    return open;
  });

  app.post("/card/drops", { config, schema: { body: declared } }, async (request): Promise<Drop> => {
    return await drops.begin(ownerOf(who(request)), request.body);
  });

  app.get("/card/drops/:drop", { config, schema: { params } }, async (request): Promise<DropState> => {
    const person = ownerOf(who(request));
    const { id } = await drops.find(person, request.params.drop);
    const here = [...(await drops.arrived(person, id)).values()];
    return {
      here: here.map(({ given, bytes, modifiedMs }) => ({ given, bytes, modifiedMs })),
      begun: await drops.begun(person, id),
    };
  });

  app.delete("/card/drops/:drop", { config, schema: { params } }, async (request) => {
    const person = ownerOf(who(request));
    const { id } = await drops.find(person, request.params.drop);
    await drops.remove(person, id);
    return { removed: true };
  });

  app.post(
    "/card/drops/:drop/take-in",
    { config, schema: { params, body: z.strictObject({ withoutTheRest: z.boolean() }) } },
    async (request): Promise<JobBegun> => {
      const actor = who(request);
      const person = ownerOf(actor);
      const drop = await drops.find(person, request.params.drop);
      const here = await drops.arrived(person, drop.id);
      if (here.size === 0 || (here.size < drop.files && !request.body.withoutTheRest)) {
        throw new SamescaleError(
          "DROP_NOT_WHOLE",
          `${here.size} of ${drop.files} files are here`,
          "Drop the card again to send the rest, or take in what is here.",
        );
      }
      const job = startTakeIn(deps, actor, drops.cardOf(person, drop), {
        notToErase: (files) => whyNotEmptied(drop, here, files),
        async afterwards(result) {
          const wantsCopies = secondPlaceOf(await deps.practice()).is === "folder";
          // What did not come is sent into the same drop when the card is dropped again.
          if (here.size >= drop.files && isSettled(result, wantsCopies)) await drops.remove(person, drop.id);
        },
      });
      return { job: job.id };
    },
  );
};
