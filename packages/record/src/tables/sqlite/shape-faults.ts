import { type Kysely, sql } from "kysely";

interface Thing {
  readonly type: string;
  readonly name: string;
  readonly sql: string | null;
}

/** Every table, index and trigger, against those of a fresh database: a guard that was taken away, a column that was changed. */
export async function shapeFaults(db: Kysely<unknown>, fresh: Kysely<unknown>): Promise<string[]> {
  const [here, wanted] = [await thingsIn(db), await thingsIn(fresh)];
  const faults: string[] = [];
  for (const [name, { type, sql: text }] of wanted) {
    const found = here.get(name);
    if (found === undefined) faults.push(`the ${type} ${name} is gone`);
    else if (found.sql !== text || found.type !== type) faults.push(`the ${type} ${name} was changed`);
  }
  for (const [name, { type }] of here) {
    if (!wanted.has(name)) faults.push(`the ${type} ${name} is not one of ours`);
  }
  return faults;
}

/** Names that begin with sqlite_ are the engine's own: indexes of keys, statistics. */
async function thingsIn(db: Kysely<unknown>): Promise<Map<string, Thing>> {
  const { rows } = await sql<Thing>`select type, name, sql from sqlite_schema
    where name not like 'sqlite\\_%' escape '\\' order by name`.execute(db);
  return new Map(rows.map((row) => [row.name, row]));
}
