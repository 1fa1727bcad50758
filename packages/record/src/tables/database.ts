import type { Kysely } from "kysely";
import type { Engine } from "./migrations/engine.ts";
import type { Schema } from "./schema.ts";

/** An open database of whatever engine, before it is known whose it is and what shape it has. */
export interface Database {
  readonly db: Kysely<Schema>;
  /** For messages: the file, or server and database. Never with a password. */
  readonly name: string;
  readonly engine: Engine;
  /** Whose it is: ours, nobody's yet (no tables), or somebody else's. */
  owner(): Promise<"ours" | "nobody" | "other">;
  /** Marks a database of nobody as ours, before its first table. */
  claim(): Promise<void>;
  /** Names of the migrations that made it; none in a fresh one. */
  migrationsDone(): Promise<string[]>;
  /** What the engine finds wrong with it, one sentence each. */
  faults(): Promise<string[]>;
  close(): Promise<void>;
}
