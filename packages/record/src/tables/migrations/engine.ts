import type { Kysely } from "kysely";
import type { WordIndex } from "../../search/word-index.ts";

/** What an engine says in its own words; everything else in the migrations is plain SQL. */
export interface Engine {
  /** Makes the database itself refuse to change or remove rows of this table. */
  appendOnly(db: Kysely<unknown>, table: string): Promise<void>;
  /** How words are looked for. */
  readonly words: WordIndex;
}
