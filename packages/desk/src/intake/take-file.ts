import { basename } from "node:path";
import { asSamescaleError, reportOf } from "@samescale/errors";
import type { PutOptions } from "@samescale/record";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { beginIntake } from "./begin-intake.ts";
import { cardSource, headOf } from "./card-source.ts";
import type { CardFile, EarlierIntake, Listing } from "./intake-rows.ts";
import { noteFile } from "./note-file.ts";
import { recognise } from "./recognise.ts";
import { storeFile } from "./store-file.ts";
import type { TakenFile } from "./take-in-lines.ts";
import type { CardEntry } from "./walk-card.ts";

/** The intake of one card while it runs. It gets its row when the first thing comes that the library does not know. */
export interface RunningIntake {
  readonly desk: Desk;
  readonly actor: Actor;
  readonly cardPath: string;
  readonly listing: Listing;
  /** Unfinished: to be gone on with. Finished: what it found needs no new intake. */
  readonly earlier: { readonly unfinished: EarlierIntake | null; readonly finished: EarlierIntake | null };
  id: string | null;
  /** What was seen before the intake had its row. */
  readonly seen: CardFile[];
}

/** A picture that is in the library now. */
export interface TakenPicture extends TakenFile {
  readonly sha256: string;
  readonly isRaw: boolean;
}

/**
 * Takes one thing on the card in, or says why not. Faults of the card are answers; those of the library are
 * thrown, as then nothing further can be taken in.
 */
export async function takeFile(
  intake: RunningIntake,
  entry: CardEntry,
  options: PutOptions,
): Promise<TakenFile | TakenPicture> {
  const plain = { path: entry.path, bytes: entry.bytes, leftBySystem: entry.kind === "left-by-system" };
  const notKept = async (state: "not-a-picture" | "unreadable", reason: string, thrown?: unknown) => {
    await note(intake, { ...entryRow(entry), sha256: null, state, reason });
    const error = thrown === undefined ? null : reportOf(thrown, entry.path);
    return { ...plain, sha256: null, state, reason, error };
  };
  const unreadable = (thrown: unknown) =>
    notKept("unreadable", asSamescaleError(thrown, entry.path).message, thrown);
  if (entry.kind === "unreadable") return unreadable(entry.fault);
  if (entry.kind !== "file") return notKept("not-a-picture", WHY_NOT[entry.kind]);
  let head: Buffer;
  try {
    head = await headOf(entry);
  } catch (thrown) {
    return unreadable(thrown);
  }
  const recognised = recognise(head, basename(entry.path));
  if (!recognised.picture) return notKept("not-a-picture", `It is ${recognised.what}, not a picture`);
  const { isRaw, format } = recognised;
  const known = knownFile(intake, entry.path);
  const seemsKnown = known?.sha256 && known.bytes === entry.bytes && known.modifiedMs === entry.modifiedMs;
  const put = await intake.desk.library.originals.put(cardSource(entry), {
    ...options,
    ...(seemsKnown ? { expected: known.sha256 } : {}),
  });
  if (put.state === "unreadable") return unreadable(put.error);
  const { sha256, bytes } = put;
  const state = await keep(intake, { ...entryRow(entry), bytes, sha256, format });
  return { ...plain, bytes, sha256, state, reason: null, error: null, isRaw };
}

const WHY_NOT = {
  "left-by-system": "An operating system left it there",
  hidden: "It is hidden or lies in a hidden folder",
  link: "It is a link; links on a card are not followed",
  "not-a-file": "It is a device or a pipe",
} as const;

const entryRow = ({ path, bytes, modifiedMs }: CardEntry) => ({ path, bytes, modifiedMs });

function knownFile({ earlier }: RunningIntake, path: string): CardFile | undefined {
  return earlier.unfinished?.files.get(path) ?? earlier.finished?.files.get(path);
}

/** Gives the original its row. */
async function keep(
  intake: RunningIntake,
  file: { path: string; bytes: number; modifiedMs: number; sha256: string; format: string },
): Promise<"stored" | "already"> {
  const { path, bytes, modifiedMs, sha256 } = file;
  if (intake.id === null && knownFile(intake, path)?.sha256 === sha256) {
    intake.seen.push({ path, bytes, modifiedMs, sha256, state: "already", reason: null });
    return "already";
  }
  const intakeId = await begun(intake);
  return doneOrThrow(await storeFile(intake.desk, intake.actor, { intakeId, ...file })).state;
}

async function note(intake: RunningIntake, file: CardFile): Promise<void> {
  const known = knownFile(intake, file.path);
  if (intake.id === null && known?.sha256 === null && known.state === file.state) {
    intake.seen.push(file);
    return;
  }
  const intakeId = await begun(intake);
  doneOrThrow(await noteFile(intake.desk, intake.actor, { intakeId, file }));
}

async function begun(intake: RunningIntake): Promise<string> {
  if (intake.id === null) {
    const { cardPath, listing, seen } = intake;
    intake.id = doneOrThrow(await beginIntake(intake.desk, intake.actor, { cardPath, listing, seen })).id;
  }
  return intake.id;
}
