import { createHmac, randomBytes } from "node:crypto";
import type { Tables } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import type { Desk } from "../desk.ts";

export interface ResearchProject {
  readonly id: string;
  readonly name: string;
  readonly key: string;
}

/** A research project and its key. The key lies in the library only: with it the codes of patients can be made again. */
export const addResearchProject = defineAct<{ readonly name: string }, { readonly id: string }>({
  name: "research.add",
  may: ["lead"],
  consent: "nothing leaves",
  async run({ name }, { writing, tables, now, newId }) {
    if (!isPlainText(name) || name.length > 120) {
      return { refused: "A research project needs a name of plain letters, 120 at most" };
    }
    if (await projectByName(tables, name)) return { refused: `There is a research project ${name} already` };
    const id = newId();
    const key = randomBytes(32).toString("hex");
    await writing.insert("research_project", { id, name, key, made_at: now });
    return {
      value: { id },
      deed: { act: "research.add", subject: `research_project/${id}`, details: { name } },
    };
  },
});

/** The research projects of this library, for those who release; never their keys. */
export async function researchProjects(
  { library }: Desk,
  actor: Actor,
): Promise<readonly { readonly id: string; readonly name: string; readonly since: string }[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const rows = await library.read
    .selectFrom("research_project")
    .select(["id", "name", "made_at as since"])
    .orderBy("name")
    .execute();
  return rows;
}

export async function projectByName(tables: Tables, name: string): Promise<ResearchProject | null> {
  const row = await tables
    .selectFrom("research_project")
    .select(["id", "name", "key"])
    .where("name", "=", name)
    .executeTakeFirst();
  return row ?? null;
}

/** Letters and digits that are not taken for one another. */
const LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
const MOST_DAYS = 365;

/**
 * How a patient stands in a project: always under the same code, all days moved by the same number, so that times between
 * visits stay. Nobody without the key can tell who it is, or that a patient of another project is the same.
 * @source Rfc2104 (HMAC)
 */
export function pseudonymOf(
  project: ResearchProject,
  patientId: string,
): { code: string; daysEarlier: number } {
  const digest = (of: string) =>
    createHmac("sha256", Buffer.from(project.key, "hex")).update(`${of} ${patientId}`).digest();
  const letters = [...digest("code").subarray(0, 10)].map((byte) => LETTERS[byte % LETTERS.length]);
  return { code: `P-${letters.join("")}`, daysEarlier: 1 + (digest("days").readUInt32BE(0) % MOST_DAYS) };
}
