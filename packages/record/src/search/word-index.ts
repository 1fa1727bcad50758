import type { Kysely, RawBuilder } from "kysely";

/** All groups must be met; a group is met by any of its terms. */
export type TermsWanted = readonly (readonly TermWanted[])[];

export interface TermWanted {
  readonly term: string;
  /** Words that begin with it count as well. */
  readonly isBeginning: boolean;
}

export interface IndexedTerms {
  readonly key: number;
  readonly terms: readonly string[];
}

/** The words lie in no table of the schema: each engine has its own. */
export type AnyDb = Pick<Kysely<never>, "getExecutor">;

/**
 * The words of every document, as the database engine indexes them. A small port: what a word is was decided before
 * (words.ts), so both engines find the same.
 */
export interface WordIndex {
  /** Makes `search_words`, in a migration. */
  make(db: Kysely<unknown>): Promise<void>;
  put(db: AnyDb, documents: readonly IndexedTerms[]): Promise<void>;
  remove(db: AnyDb, keys: readonly number[]): Promise<void>;
  clear(db: AnyDb): Promise<void>;
  /** The keys of the documents that hold the terms, as a table with the column `key`. */
  matches(wanted: TermsWanted): RawBuilder<{ readonly key: number }>;
}
