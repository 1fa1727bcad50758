import { resolve } from "node:path";
import { reportOf } from "@samescale/errors";
import type { SecondPlace } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import { signedOrWhy } from "../custody/signed-or-why.ts";
import type { Desk } from "../desk.ts";
import { cardApartFrom } from "./apart.ts";
import type { MatchOptions } from "./match.ts";
import type { TakeInProgress } from "./progress.ts";
import { openSecondCopies, type SecondCopies } from "./second-copies.ts";
import { takeCard } from "./take-card.ts";
import type { CardFault, TakeInLine, TakenFile } from "./take-in-lines.ts";
import { newTotals, summaryOf } from "./totals.ts";
import type { Pictures } from "./understand.ts";

export interface TakeIn {
  readonly desk: Desk;
  readonly actor: Actor;
  /** Folders: memory cards, or any folder of camera files. */
  readonly cards: readonly string[];
  /** Where the practice keeps every original a second time; left out: it does not say. */
  readonly secondPlace?: SecondPlace;
  /** Looks at the pictures: `createPicturePool()`. */
  readonly pictures: Pictures;
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: TakeInProgress) => void;
  readonly match?: MatchOptions;
  /** Why a card must not be erased although all that came is kept, known to whoever brought it; null: nothing speaks against it. */
  readonly notToErase?: (files: readonly TakenFile[]) => string | null;
}

/**
 * Takes cards in: one line per file as soon as it is safe, the summary last. The card is only read. Killed or
 * stopped at any moment and called again, it goes on and ends in the same library as an undisturbed run; a card that
 * holds nothing new is compared and changes nothing.
 *
 * @throws the signal's reason when stopped; faults of single files and of the library are lines
 */
export async function* takeIn(job: TakeIn): AsyncGenerator<TakeInLine> {
  const stop = new AbortController();
  const signal = job.signal ? AbortSignal.any([job.signal, stop.signal]) : stop.signal;
  const totals = newTotals();
  try {
    const { library } = job.desk;
    await library.originals.sweep();
    await library.derived.sweep();
    let second: SecondCopies | null = null;
    for (const card of job.cards) {
      const faulty = await faultOfCard(job, card);
      if (faulty) {
        yield faulty;
        totals.erase.push({ card, may: false, why: faulty.error.message });
        continue;
      }
      second ??= await openSecondCopies(job.desk, job.secondPlace ?? { is: "not said" });
      const ended = yield* takeCard({ ...job, signal, second }, card, totals);
      totals.erase.push({ card, ...ended });
      if (ended.stop) break;
    }
    // What was taken in stands in the log: from here on nobody can take it out unseen.
    const taken = totals.files.some(({ state }) => state === "stored" || state === "already");
    yield summaryOf(totals, taken ? await signedOrWhy(job.desk) : null);
  } finally {
    stop.abort(); // nobody waits for what is still being looked at
  }
}

/** A card must hold neither the library nor the second place: it is only read. */
async function faultOfCard({ desk, secondPlace }: TakeIn, card: string): Promise<CardFault | null> {
  try {
    await cardApartFrom(card, desk.library.folder);
    if (secondPlace?.is === "folder")
      await cardApartFrom(card, resolve(desk.library.folder, secondPlace.path));
    return null;
  } catch (thrown) {
    return { file: card, error: reportOf(thrown, card) };
  }
}
