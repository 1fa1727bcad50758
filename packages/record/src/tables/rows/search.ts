import type { Fixed } from "./fixed.ts";

/** What can be found: one row per patient, request and frame, computed from theirs; it can be made again at any time. */
export interface SearchDocumentTable {
  /** Its moment and a running number in one: newest first is this key downwards (search/key.ts). */
  key: Fixed<number>;
  kind: FoundKind;
  /** Of the patient, request or frame. */
  id: Fixed<string>;
  request_id: string | null;
  /** JSON: facet to its values, of those that are counted in lists. */
  facets: string;
}

/** `trash`: a frame that was put aside; no list of frames shows it. */
export type FoundKind = "patient" | "request" | "frame" | "trash";

/** How far the log was followed. One row, `index`; none while the index is being built. */
export interface SearchStateTable {
  id: Fixed<string>;
  /** Which shape of documents and terms it holds. */
  form: number;
  /** The last entry of the log whose rows can be found. */
  sequence: number;
}
