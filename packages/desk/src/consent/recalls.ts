import { type ConsentScope, RECALLS } from "@samescale/practice";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";

/** A recipient who has to be written to, or was. */
export interface Recall {
  readonly releaseId: string;
  readonly to: string;
  readonly scope: ConsentScope;
  readonly publication: string | null;
  readonly leftAt: string;
  readonly because: string;
  /** For the person who writes. */
  readonly says: string;
  /** When they answered, ISO 8601 in UTC, and what; null: nobody has answered yet. */
  readonly answered: { readonly at: string; readonly says: string } | null;
}

/** Releases whose consent ended after they went out: those that nobody has answered, or all. */
export async function recallsOf(
  { library }: Desk,
  actor: Actor,
  which: "open" | "all",
): Promise<Outcome<readonly Recall[]>> {
  if (!KEEPS_LISTS.includes(actor.role)) {
    return { done: false, reason: `The list of recalls is not for the role ${actor.role}` };
  }
  let query = library.read
    .selectFrom("release")
    .selectAll()
    .where("recall_because", "is not", null)
    .where("taken_back_at", "is", null);
  if (which === "open") query = query.where("recalled_at", "is", null);
  const rows = await query.orderBy("made_at").orderBy("id").execute();
  const value = rows.map((row): Recall => {
    const scope = row.scope as ConsentScope;
    return {
      releaseId: row.id,
      to: row.recipient,
      scope,
      publication: row.publication,
      leftAt: row.made_at,
      because: row.recall_because ?? "",
      says: RECALLS[scope].says,
      answered: row.recalled_at === null ? null : { at: row.recalled_at, says: row.recall_answer ?? "" },
    };
  });
  return { done: true, value };
}

/** Who sees lists of patients' answers and of what went out under them. */
export const KEEPS_LISTS: readonly Actor["role"][] = [...PHOTOGRAPHERS, "auditor"];

export interface RecallAnswer {
  readonly releaseId: string;
  /** What the recipient said: deleted, still in print, no longer reachable. */
  readonly says: string;
}

/** The recipient answered, to a recall or at the end of the time for which they had it. */
export const answerRecall = defineAct<RecallAnswer, null>({
  name: "release.answered",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ releaseId, says }, { writing, tables, now }) {
    if (!isPlainText(says)) return { refused: "Say in plain text what the recipient answered" };
    const row = await tables
      .selectFrom("release")
      .select(["recall_because", "expires_on", "recalled_at"])
      .where("id", "=", releaseId)
      .executeTakeFirst();
    if (!row) return { refused: `There is no release ${releaseId}` };
    if (row.recall_because === null && row.expires_on === null) {
      return { refused: "Nobody was asked to give this release back, and its time has no end" };
    }
    if (row.recalled_at !== null)
      return { refused: `They answered already, on ${row.recalled_at.slice(0, 10)}` };
    await writing.update("release", releaseId, { recalled_at: now, recall_answer: says });
    return {
      value: null,
      deed: { act: "release.answered", subject: `release/${releaseId}`, details: { says } },
    };
  },
});
