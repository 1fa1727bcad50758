import type { Fixed } from "./fixed.ts";

/** One answer to one question: may pictures be used for this scope. Given or refused; a withdrawal ends it. */
export interface ConsentTable {
  id: Fixed<string>;
  /** Whose pictures; null for a non-clinical request. */
  patient_id: Fixed<string | null>;
  /** Only pictures of this request; null: all of this patient's. */
  request_id: Fixed<string | null>;
  /** JSON list of frame ids; null: all of the request. */
  frames: Fixed<string | null>;
  scope: Fixed<string>;
  answer: Fixed<"given" | "refused">;
  capacity: Fixed<"patient" | "parental-responsibility" | "best-interest" | "legal-basis">;
  /** Name and, where it is not the patient, relation. */
  given_by: Fixed<string>;
  taken_by: Fixed<string>;
  /** Which wording was put to them, and which version of it. */
  wording: Fixed<string>;
  wording_version: Fixed<string>;
  /** The very publication, for the publication scopes; null otherwise. */
  publication: Fixed<string | null>;
  given_at: Fixed<string>;
  /** Last day on which it holds, YYYY-MM-DD; null: no end was agreed. */
  until: Fixed<string | null>;
  withdrawn_at: string | null;
  withdrawn_by: string | null;
  withdrawn_because: string | null;
  details: Fixed<string>;
  made_at: Fixed<string>;
}

/** Somebody who can be seen in pictures of a non-clinical request: all of them must have agreed. */
export interface PortrayedTable {
  id: Fixed<string>;
  request_id: Fixed<string>;
  name: Fixed<string>;
  /** JSON list of frame ids; null: may be in any picture of the request. */
  frames: Fixed<string | null>;
  made_at: Fixed<string>;
  /** They were named by mistake. */
  void_because: string | null;
}

/** A patient for whom others had decided can decide again: they are to be asked. */
export interface CapacityTable {
  id: Fixed<string>;
  patient_id: Fixed<string>;
  /** Day from which they could decide, YYYY-MM-DD. */
  regained_on: Fixed<string>;
  /** Who assessed it, and on what basis. */
  assessed_by: Fixed<string>;
  basis: Fixed<string>;
  made_at: Fixed<string>;
}

/** One act of passing pictures on. Written before anything leaves. */
export interface ReleaseTable {
  id: Fixed<string>;
  request_id: Fixed<string | null>;
  patient_id: Fixed<string | null>;
  scope: Fixed<string>;
  /** To whom. */
  recipient: Fixed<string>;
  purpose: Fixed<string>;
  publication: Fixed<string | null>;
  /** JSON list of the consents that it rests on. */
  consents: Fixed<string>;
  /** Which form made the files, and the folder below that of everything released in which they lie. */
  form: Fixed<string>;
  folder: Fixed<string>;
  /** Of a release for research. */
  project_id: Fixed<string | null>;
  /** JSON: what was stripped, masked and made anew. */
  recipe: Fixed<string>;
  /** JSON: names and hashes of what left. */
  receipt: Fixed<string>;
  /** Last day on which the recipient may use it, YYYY-MM-DD. */
  expires_on: Fixed<string | null>;
  released_by: Fixed<string>;
  made_at: Fixed<string>;
  /** When the files got their names; null: they never did, or the program was killed before it could write it down. */
  handed_over_at: string | null;
  /** It was not handed over after all: consent ended while it was made, or a killed run was cleaned up. */
  taken_back_at: string | null;
  taken_back_because: string | null;
  /** Consent ended afterwards: the recipient is to be asked to give it back. */
  recall_because: string | null;
  /** When the recipient answered, and what. */
  recalled_at: string | null;
  recall_answer: string | null;
}

/** One picture or document of a release: which frame it shows, and the very bytes that left. */
export interface ReleaseItemTable {
  id: Fixed<string>;
  release_id: Fixed<string>;
  /** Null: a document of the whole request. */
  frame_id: Fixed<string | null>;
  /** SHA-256 of the original that it shows. */
  original: Fixed<string | null>;
  name: Fixed<string>;
  sha256: Fixed<string>;
  bytes: Fixed<number>;
}

/** A research project: its key makes the codes under which patients stand in what it receives, and leaves with nothing. */
export interface ResearchProjectTable {
  id: Fixed<string>;
  name: Fixed<string>;
  /** 32 random bytes in hexadecimal. */
  key: Fixed<string>;
  made_at: Fixed<string>;
}

/** Emergency access: somebody saw what they otherwise may not, with a reason. Loud, listed, for a time. */
export interface AccessGrantTable {
  id: Fixed<string>;
  actor: Fixed<string>;
  request_id: Fixed<string>;
  because: Fixed<string>;
  made_at: Fixed<string>;
  until: Fixed<string>;
  /** Who looked at it afterwards, and what they found. */
  reviewed_by: string | null;
  reviewed_at: string | null;
  review: string | null;
}

/** A legal hold: nothing that it covers is destroyed, whatever a retention rule says. */
export interface HoldTable {
  id: Fixed<string>;
  /** `patient/…`, `request/…` or `frame/…`. */
  subject: Fixed<string>;
  because: Fixed<string>;
  placed_by: Fixed<string>;
  made_at: Fixed<string>;
  lifted_at: string | null;
  lifted_by: string | null;
  lifted_because: string | null;
}
