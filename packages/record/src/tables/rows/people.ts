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

/** Somebody signed in. The token itself is nowhere, only its SHA-256. */
export interface SessionTable {
  /** SHA-256 of the token that it was begun with. */
  id: Fixed<string>;
  person_id: Fixed<string>;
  made_at: Fixed<string>;
  expires_at: Fixed<string>;
  revoked_at: string | null;
  revoked_because: string | null;
  /** SHA-256 of the token that it goes on with since it was renewed; null: the one it was begun with. */
  token: string | null;
  renewed_at: string | null;
}
