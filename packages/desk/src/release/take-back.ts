import { realpath } from "node:fs/promises";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import type { Desk } from "../desk.ts";
import { takeNames } from "./stage/give-names.ts";
import { leftoversIn, type StagedFile } from "./stage/stage.ts";

interface ToTakeBack {
  readonly releaseId: string;
  readonly released: string;
  readonly because: string;
}

/** A release that is on record and was not handed over: what has its name already is removed. */
const takeBackRelease = defineAct<ToTakeBack, boolean>({
  name: "release.take-back",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ releaseId, released, because }, { writing, tables, now }) {
    const row = await tables
      .selectFrom("release")
      .select(["folder", "receipt", "handed_over_at", "taken_back_at"])
      .where("id", "=", releaseId)
      .executeTakeFirst();
    if (!row || row.handed_over_at !== null || row.taken_back_at !== null)
      return { value: false, deed: null };
    const { all } = JSON.parse(row.receipt) as { readonly all: readonly StagedFile[] };
    const removed = await takeNames(released, row.folder, all);
    await writing.update("release", releaseId, { taken_back_at: now, taken_back_because: because });
    const details = { because, removed };
    return { value: true, deed: { act: "release.take-back", subject: `release/${releaseId}`, details } };
  },
});

/** False where there is nothing to take back. */
export async function takeBack(
  desk: Desk,
  actor: Actor,
  releaseId: string,
  released: string,
  because: string,
): Promise<boolean> {
  const taken = await takeBackRelease(desk, actor, { releaseId, released, because });
  return taken.done && taken.value;
}

/** What killed runs left in this folder of everything released. Returns the releases that are taken back now. */
export async function takeBackLeftovers(
  desk: Desk,
  actor: Actor,
  releasedFolder: string,
): Promise<readonly string[]> {
  const released = await realpath(releasedFolder).catch(() => null);
  const takenBack: string[] = [];
  for (const { releaseId, remove } of released === null ? [] : await leftoversIn(released)) {
    const because = "The program was ended before it was handed over";
    if (await takeBack(desk, actor, releaseId, released!, because)) takenBack.push(releaseId);
    await remove();
  }
  return takenBack;
}
