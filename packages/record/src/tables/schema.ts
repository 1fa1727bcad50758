import type { ColumnType } from "kysely";

/**
 * What is kept, table by table. Ids are ULIDs, times ISO 8601 in UTC unless a name says otherwise, JSON is text:
 * plain SQL that every engine reads alike. `Fixed` columns cannot be updated, in the type as in life.
 */
type Fixed<T> = ColumnType<T, T, never>;

export interface Schema {
  patient: PatientTable;
  request: RequestTable;
  plan: PlanTable;
  visit: VisitTable;
  intake: IntakeTable;
  card_file: CardFileTable;
  frame: FrameTable;
  file: FileTable;
  reading: DerivativeTable;
  outline: DerivativeTable;
  measurement: DerivativeTable;
  series: DerivativeTable;
  verdict: DerivativeTable;
  act: ActTable;
}

export interface PatientTable {
  id: Fixed<string>;
  /** The number means nothing without the authority that gave it. */
  number: string;
  authority: string;
  name: string;
  /** YYYY-MM-DD. */
  birth_date: string | null;
  details: string;
  made_at: Fixed<string>;
}

export interface RequestTable {
  id: Fixed<string>;
  /** Printed on the shot card, read back from the label frame. */
  code: Fixed<string>;
  /** Null for non-clinical requests. */
  patient_id: string | null;
  kind: "clinical" | "non-clinical";
  /** YYYY-MM-DD. */
  due_date: string | null;
  state: "open" | "done" | "cancelled";
  details: string;
  made_at: Fixed<string>;
}

/** Each saving of a plan is a new revision; what was planned at the time of the pictures stays known. */
export interface PlanTable {
  id: Fixed<string>;
  request_id: Fixed<string>;
  revision: Fixed<number>;
  /** Names the shape of `body`, as that belongs to the practice: `views/1`. */
  format: Fixed<string>;
  body: Fixed<string>;
  made_at: Fixed<string>;
}

export interface VisitTable {
  id: Fixed<string>;
  request_id: Fixed<string>;
  /** Local calendar day, YYYY-MM-DD; null where no clock could be believed. */
  date: string | null;
  /** Opened by a person, or by a label frame on a card. */
  opened_by: Fixed<"person" | "label">;
  details: string;
  /** Why this visit counts no longer; its row stays. */
  void_because: string | null;
  made_at: Fixed<string>;
}

/** One card taken in, over as many runs as it needed. */
export interface IntakeTable {
  id: Fixed<string>;
  card_path: Fixed<string>;
  begun_at: Fixed<string>;
  finished_at: string | null;
  /** Why an unfinished intake is not gone on with. */
  abandoned_because: string | null;
  /** Seconds to add to what the camera's clock said. */
  clock_offset_s: number | null;
  clock_because: string | null;
  clock_by: string | null;
}

/** What lay on the card, pictures or not. */
export interface CardFileTable {
  id: Fixed<string>;
  intake_id: Fixed<string>;
  /** Relative to the card, with `/`. */
  path: Fixed<string>;
  bytes: number;
  modified_ms: number;
  sha256: string | null;
  state: "stored" | "already" | "not-a-picture" | "unreadable";
  reason: string | null;
}

/** One exposure. */
export interface FrameTable {
  id: Fixed<string>;
  intake_id: Fixed<string>;
  /** Folder on the card and the name that its files share. */
  folder: Fixed<string>;
  name: Fixed<string>;
  /** Place in the order of the card, from 1. */
  position: Fixed<number>;
  kind: "picture" | "label";
  /** What the camera wrote. */
  taken_raw: Fixed<string | null>;
  /** Local time without a zone, YYYY-MM-DDTHH:MM:SS, as the camera's clock said it. */
  taken_camera: Fixed<string | null>;
  /** The same with the card's clock offset added. */
  taken_at: string | null;
  clock: "plausible" | "none" | "impossible" | "before-cameras" | "future";
  /** JSON list of the code texts seen in the picture; null: not looked, see `flags`. */
  codes: Fixed<string | null>;
  request_id: string | null;
  visit_id: string | null;
  placed_by: "label" | "person" | null;
  /** How it was placed, or why not. */
  placing: string;
  /** JSON list of sentences a person should read. */
  flags: string;
}

/** One original: a camera file, byte for byte. */
export interface FileTable {
  sha256: Fixed<string>;
  bytes: Fixed<number>;
  format: Fixed<string>;
  /** Its name when it was first seen. */
  name: Fixed<string>;
  /** Set once, when the card's files are grouped into frames. */
  frame_id: string | null;
  /** JSON: what the file says of itself. */
  info: string | null;
  stored_at: Fixed<string>;
}

/** Anything made from originals: it says from what, and how, so that it can be made again. */
export interface DerivativeTable {
  id: Fixed<string>;
  frame_id: Fixed<string | null>;
  request_id: Fixed<string | null>;
  /** JSON: step, version, parameters. */
  recipe: Fixed<string>;
  /** JSON list of SHA-256: originals or other derivatives. */
  inputs: Fixed<string>;
  /** JSON: the result. */
  body: Fixed<string>;
  /** Of the canonical `body`: what other derivatives name as their input. */
  sha256: Fixed<string>;
  made_at: Fixed<string>;
}

export type DerivativeKind = "reading" | "outline" | "measurement" | "series" | "verdict";

export const DERIVATIVE_KINDS: readonly DerivativeKind[] = [
  "reading",
  "outline",
  "measurement",
  "series",
  "verdict",
];

/** The custody log (custody/chain.ts). Rows are added, never changed. */
export interface ActTable {
  sequence: Fixed<number>;
  time: Fixed<string>;
  actor: Fixed<string>;
  act: Fixed<string>;
  subject: Fixed<string>;
  details: Fixed<string>;
  previous: Fixed<string>;
  hash: Fixed<string>;
}
