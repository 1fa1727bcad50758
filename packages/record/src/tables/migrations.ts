import type { Migration } from "kysely/migration";
import { first } from "./migrations/0001-first.ts";
import { record } from "./migrations/0002-record.ts";
import { renewedSessions } from "./migrations/0003-renewed-sessions.ts";
import type { Engine } from "./migrations/engine.ts";

/**
 * Every migration, by name, in order. A migration that has been released is never edited: libraries in use were
 * made with it.
 */
export function migrations(engine: Engine): Record<string, Migration> {
  return {
    "0001-first": first(engine),
    "0002-record": record(engine),
    "0003-renewed-sessions": renewedSessions(),
  };
}
