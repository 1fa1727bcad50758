import { basename } from "node:path";
import { asSamescaleError, reportOf } from "@samescale/errors";
import type { PutOptions } from "@samescale/record";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { beginIntake } from "./begin-intake.ts";
import { cardSource, headOf } from "./card-source.ts";
import type { FileKind } from "./group-files.ts";
import type { CardFile, EarlierIntake, Listing } from "./intake-rows.ts";
import { hasCopy, keepCopy } from "./keep-copy.ts";
import { noteFile } from "./note-file.ts";
import { type Recognised, recognise } from "./recognise.ts";
import type { SecondCopies } from "./second-copies.ts";
import { isSidecar, type NamedAlike, sidecarFormat } from "./sidecars.ts";
import { storeFile } from "./store-file.ts";
import type { TakenFile } from "./take-in-lines.ts";
import type { CardEntry } from "./walk-card.ts";

/** The intake of one card while it runs. It gets its row when the first thing comes that the library does not know. */
export interface RunningIntake {
  readonly desk: Desk;
  readonly actor: Actor;
  readonly cardPath: string;
  readonly listing: Listing;
  readonly alike: NamedAlike;
  readonly second: SecondCopies;
  /** Unfinished: to be gone on with. Finished: what it found needs no new intake. */
  readonly earlier: { readonly unfinished: EarlierIntake | null; readonly finished: EarlierIntake | null };
  id: string | null;
  /** What was seen before the intake had its row. */
  readonly seen: CardFile[];
}

/** A picture, a video or what belongs to one, in the library now. */
export interface KeptFile extends TakenFile {
  readonly sha256: string;
  readonly kind: FileKind;
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
): Promise<TakenFile | KeptFile> {
  const plain = { path: entry.path, bytes: entry.bytes, leftBySystem: entry.kind === "left-by-system" };
  const notKept = async (state: "not-a-picture" | "unreadable", reason: string, thrown?: unknown) => {
    await note(intake, { ...entryRow(entry), sha256: null, state, reason });
    const error = thrown === undefined ? null : reportOf(thrown, entry.path);
    return { ...plain, sha256: null, state, reason, error, kind: null, hasCopy: false };
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
  const what = await kindOf(entry, recognise(head, basename(entry.path)), intake.alike);
  if (what.kind === "other") return notKept("not-a-picture", `It is ${what.what}, not a picture`);
  const known = knownFile(intake, entry.path);
  const seemsKnown = known?.sha256 && known.bytes === entry.bytes && known.modifiedMs === entry.modifiedMs;
  const put = await intake.desk.library.originals.put(cardSource(entry), {
    ...options,
    ...(seemsKnown ? { expected: known.sha256 } : {}),
  });
  if (put.state === "unreadable") return unreadable(put.error);
  const { sha256, bytes } = put;
  const hasCopy = await intake.second.make(sha256, options.signal);
  const { kind, format, isRaw } = what;
  const state = await keep(intake, { ...entryRow(entry), bytes, sha256, format, kind }, hasCopy);
  return { ...plain, bytes, sha256, state, reason: null, error: null, kind, isRaw, hasCopy };
}

type Kept = { readonly kind: FileKind; readonly format: string; readonly isRaw: boolean };

/** What a file counts as here, its neighbours on the card looked at. */
async function kindOf(
  { path }: CardEntry,
  what: Recognised,
  alike: NamedAlike,
): Promise<Kept | Extract<Recognised, { kind: "other" }>> {
  if (await isSidecar(path, what, alike)) {
    return { kind: "sidecar", format: sidecarFormat(path), isRaw: false };
  }
  return what.kind === "video" ? { ...what, isRaw: false } : what;
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

type FileToKeep = Omit<Parameters<typeof storeFile>[2], "intakeId" | "copyAt">;

/** Gives the original and its second copy their rows. */
async function keep(
  intake: RunningIntake,
  file: FileToKeep,
  isCopied: boolean,
): Promise<"stored" | "already"> {
  const { desk, actor, second } = intake;
  const { path, bytes, modifiedMs, sha256 } = file;
  const copyAt = isCopied ? second.place : null;
  if (intake.id === null && knownFile(intake, path)?.sha256 === sha256) {
    intake.seen.push({ path, bytes, modifiedMs, sha256, state: "already", reason: null });
    if (copyAt !== null && !(await hasCopy(desk.library.read, sha256, copyAt))) {
      doneOrThrow(await keepCopy(desk, actor, { sha256, place: copyAt }));
    }
    return "already";
  }
  const intakeId = await begun(intake);
  return doneOrThrow(await storeFile(desk, actor, { intakeId, ...file, copyAt })).state;
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
