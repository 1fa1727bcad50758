import type { ReadonlyKysely } from "kysely/readonly";
import { sha256Of } from "../custody/canonical.ts";
import { DERIVATIVE_KINDS } from "../tables/rows/derivatives.ts";
import type { Schema } from "../tables/schema.ts";
import type { Fault } from "./report.ts";

/** Every derivative must say how it was made, and from what; and what it names must be here. */
export async function derivativeFaults(
  read: ReadonlyKysely<Schema>,
  signal?: AbortSignal,
): Promise<{ derivatives: number; faults: Fault[] }> {
  const known = new Set<string>();
  for (const kind of DERIVATIVE_KINDS) {
    for (const row of await read.selectFrom(kind).select("sha256").execute()) known.add(row.sha256);
  }
  const isHere = async (sha256: string) =>
    known.has(sha256) ||
    (await read.selectFrom("file").select("sha256").where("sha256", "=", sha256).executeTakeFirst()) !==
      undefined;
  const faults: Fault[] = [];
  let derivatives = 0;
  for (const kind of DERIVATIVE_KINDS) {
    for (const { id } of await read.selectFrom(kind).select("id").orderBy("id").execute()) {
      signal?.throwIfAborted();
      const row = await read.selectFrom(kind).selectAll().where("id", "=", id).executeTakeFirst();
      if (row === undefined) continue;
      derivatives++;
      const tell = (fault: string) => faults.push({ where: "derivative", subject: `${kind}/${id}`, fault });
      if (!isRecipe(parsed(row.recipe)))
        tell("does not say how it was made: its recipe has no step and version");
      if (sha256Of(row.body) !== row.sha256) tell("its body does not have the SHA-256 that it states");
      const inputs = parsed(row.inputs);
      if (!Array.isArray(inputs) || inputs.length === 0) {
        tell("does not say what it was made from");
        continue;
      }
      for (const input of inputs) {
        if (!(await isHere(String(input))))
          tell(`was made from ${String(input)}, which is not in the library`);
      }
    }
  }
  return { derivatives, faults };
}

function isRecipe(value: unknown): boolean {
  const recipe = value as { step?: unknown; version?: unknown } | null;
  return typeof recipe?.step === "string" && Number.isInteger(recipe.version);
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
