import type { Fixed } from "./fixed.ts";

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
  priority: "routine" | "urgent" | "asap" | "stat" | null;
  /** JSON list of why few may see it: intimate, child, safeguarding, evidence. Null: nothing narrows it. */
  sensitive: string | null;
  /** JSON list of the persons who see it although it is sensitive. */
  access: string | null;
  /** Who asked, when that is a person with an account here. */
  requester_id: string | null;
  /** Where it came from and its name there: `system|identifier`; null: written here by hand. */
  external: string | null;
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
