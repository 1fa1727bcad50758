import type { Fixed } from "./fixed.ts";

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
  /** JSON list, as of a request; null: what the request says. */
  sensitive: string | null;
  /** Put aside, to be taken back at any time; nothing is removed. */
  trashed_at: string | null;
  trashed_because: string | null;
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
  /** Null: a picture. A sidecar belongs to the picture of its name. */
  kind: Fixed<"video" | "sidecar" | null>;
  /** A person had it destroyed under a retention rule: its bytes are gone, its row tells of it. */
  destroyed_at: string | null;
  destroyed_because: string | null;
}

/** A verified copy of an original at a second place: written, waited for, read back and compared. */
export interface CopyTable {
  id: Fixed<string>;
  sha256: Fixed<string>;
  /** The place as the practice names it. */
  place: Fixed<string>;
  bytes: Fixed<number>;
  verified_at: string;
}
