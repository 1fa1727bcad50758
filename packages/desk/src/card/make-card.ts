import { createHash } from "node:crypto";
import { rename, rm, writeFile } from "node:fs/promises";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { type ShotCard, shotCardPage, shotCardPdf } from "@samescale/exchange";
import type { Practice } from "@samescale/practice";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { defineAct } from "../act/define-act.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { cardOfRequest } from "./card-of-request.ts";

export interface CardWanted {
  readonly requestCode: string;
  /** Files to write; at least one of them. */
  readonly pdf?: string;
  readonly page?: string;
  /** Write over files that are there. */
  readonly replace: boolean;
}

interface CardFile {
  readonly path: string;
  readonly waiting: string;
  readonly bytes: Uint8Array;
}

interface Waiting {
  readonly requestId: string;
  readonly card: ShotCard;
  readonly files: readonly CardFile[];
}

/** A card names a request and its patient and is left at the bedside: that it was made is on record. No picture is on it. */
const recordCard = defineAct<Waiting, null>({
  name: "card.make",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ requestId, card, files }) {
    const details = {
      views: card.views.length,
      withName: card.patientName !== null,
      sha256: files.map(({ bytes }) => createHash("sha256").update(bytes).digest("hex")),
    };
    return { value: null, deed: { act: "card.make", subject: `request/${requestId}`, details } };
  },
});

/**
 * Makes the shot card of a request's newest plan and writes it as PDF, as a page for a phone, or both. The log is
 * written before the files get their names: killed in between, the log tells of a card that is not there, never the
 * other way round.
 * @throws SamescaleError REQUEST_UNKNOWN, REQUEST_WITHOUT_PLAN, OUTPUT_EXISTS, FILE_NOT_PERMITTED and the like
 */
export async function makeCard(
  desk: Desk,
  actor: Actor,
  { requestCode, pdf, page, replace }: CardWanted,
  practice: Practice,
): Promise<Outcome<ShotCard>> {
  const { requestId, card } = await cardOfRequest(desk, actor, requestCode, practice);
  const files: CardFile[] = [];
  if (pdf !== undefined) files.push(fileOf(pdf, await shotCardPdf(card)));
  if (page !== undefined) files.push(fileOf(page, Buffer.from((await shotCardPage(card)).html)));
  try {
    for (const file of files) await writeWaiting(file, replace);
    const recorded = await recordCard(desk, actor, { requestId, card, files });
    if (!recorded.done) return recorded;
    for (const { waiting, path } of files) await rename(waiting, path);
    return { done: true, value: card };
  } finally {
    for (const { waiting } of files) await rm(waiting, { force: true });
  }
}

const fileOf = (path: string, bytes: Uint8Array): CardFile => ({
  path,
  waiting: `${path}.${process.pid}.part`,
  bytes,
});

/** Beside its final place; a file of that name is told of before anything is on record. */
async function writeWaiting({ path, waiting, bytes }: CardFile, replace: boolean): Promise<void> {
  try {
    if (!replace) {
      await writeFile(path, "", { flag: "wx", mode: 0o600 });
      await rm(path);
    }
    await writeFile(waiting, bytes, { flag: "wx", mode: 0o600 });
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EEXIST") throw asSamescaleError(thrown, path);
    throw new SamescaleError(
      "OUTPUT_EXISTS",
      `${path} exists already and was left as it is`,
      "Name a new file, or say --replace.",
      { cause: thrown },
    );
  }
}
