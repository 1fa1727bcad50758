import { sql } from "kysely";
import type { TermsWanted, WordIndex } from "./word-index.ts";

/** A tsvector made of our own words: no dictionary of any language has a say in it. */
export const postgresWords: WordIndex = {
  async make(db) {
    await sql`create table search_words (key bigint primary key, words tsvector not null)`.execute(db);
    await sql`create index search_words_words on search_words using gin (words)`.execute(db);
  },
  async put(db, documents) {
    const rows = documents.map(({ key, terms }) => sql`(${key}, array_to_tsvector(${[...terms]}::text[]))`);
    await sql`insert into search_words (key, words) values ${sql.join(rows)}`.execute(db);
  },
  async remove(db, keys) {
    await sql`delete from search_words where key in (${sql.join(keys)})`.execute(db);
  },
  async clear(db) {
    await sql`delete from search_words`.execute(db);
  },
  matches: (wanted) => sql`(select key from search_words where words @@ ${expressionOf(wanted)}::tsquery)`,
};

/** Every term is quoted; none holds a quote or a backslash, as a word is letters and digits. */
function expressionOf(wanted: TermsWanted): string {
  const groups = wanted.map((group) =>
    group.map(({ term, isBeginning }) => `'${term}'${isBeginning ? ":*" : ""}`).join(" | "),
  );
  return groups.map((group) => `(${group})`).join(" & ");
}
