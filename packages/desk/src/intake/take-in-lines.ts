import type { ErrorReport } from "@samescale/errors";
import type { FileKind } from "./group-files.ts";
import type { CardFile } from "./intake-rows.ts";

/** What became of one file of the card. */
export interface TakenFile {
  /** Relative to the card. */
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string | null;
  readonly state: CardFile["state"];
  readonly reason: string | null;
  readonly error: ErrorReport | null;
  readonly leftBySystem: boolean;
  /** Null: not taken in. */
  readonly kind: FileKind | null;
  /** The second place holds it too, read back and compared in this run. */
  readonly hasCopy: boolean;
}

/** One line per file, as soon as it is safe; `file` is the card as it was named and the path on it. */
export interface FileLine {
  readonly file: string;
  readonly sha256: string | null;
  readonly bytes: number;
  readonly state: CardFile["state"];
  readonly reason: string | null;
  readonly kind: FileKind | null;
  /** Verified copies: 2 with that at the second place, 0 when it was not taken in. */
  readonly copies: 0 | 1 | 2;
  readonly error?: ErrorReport;
}

/** A card that could not be looked at at all. */
export interface CardFault {
  readonly file: string;
  readonly error: ErrorReport;
}

export interface SummaryLine {
  readonly summary: {
    readonly files: number;
    readonly stored: number;
    readonly already: number;
    readonly notPictures: number;
    readonly unreadable: number;
    /** Of the files that are in the library now. */
    readonly bytes: number;
    /** Frames on these cards whose request is known, label frames included. */
    readonly placed: number;
    readonly unplaced: number;
    readonly cardMayBeErased: boolean;
    readonly why: string;
    /** How many entries of the custody log are signed with this run; null: none were, and `notSigned` may say why. */
    readonly signedEntries: number | null;
    readonly notSigned: string | null;
  };
}

export type TakeInLine = FileLine | CardFault | SummaryLine;
