import type { Fixed } from "./fixed.ts";

/** Somebody with an account. */
export interface PersonTable {
  id: Fixed<string>;
  login: Fixed<string>;
  name: string;
  role: string;
  /** Argon2id, as its PHC string; null: cannot sign in with a password. */
  password: string | null;
  state: "active" | "left";
  made_at: Fixed<string>;
}

/** Somebody signed in. The token itself is nowhere: its SHA-256 is the id. */
export interface SessionTable {
  id: Fixed<string>;
  person_id: Fixed<string>;
  made_at: Fixed<string>;
  expires_at: Fixed<string>;
  revoked_at: string | null;
  revoked_because: string | null;
}
