import { isDeepStrictEqual } from "node:util";
import { type Kysely, sql } from "kysely";

interface Thing {
  readonly type: string;
  readonly name: string;
  readonly tbl_name: string;
  readonly sql: string | null;
}

/** Every table, index and trigger, against those of a fresh database: a guard that was taken away, a column that was changed. */
export async function shapeFaults(db: Kysely<unknown>, fresh: Kysely<unknown>): Promise<string[]> {
  const [here, wanted] = [await thingsIn(db), await thingsIn(fresh)];
  const faults: string[] = [];
  for (const [name, thing] of wanted) {
    const found = here.get(name);
    if (found === undefined) faults.push(`the ${thing.type} ${name} is gone`);
    else if (!isDeepStrictEqual(found, thing)) faults.push(`the ${thing.type} ${name} was changed`);
  }
  for (const [name, { type }] of here) {
    if (!wanted.has(name)) faults.push(`the ${type} ${name} is not one of ours`);
  }
  return faults;
}

/** Without the engine's statistics, which come and go. */
async function thingsIn(db: Kysely<unknown>): Promise<Map<string, Thing>> {
  const { rows } = await sql<Thing>`select type, name, tbl_name, sql from sqlite_schema
    where name not like 'sqlite\\_stat%' escape '\\' order by name`.execute(db);
  return new Map(rows.map((row) => [row.name, row]));
}
