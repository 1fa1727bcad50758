import type { Actor, Role } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { defineAct } from "../act/define-act.ts";
import type { Desk } from "../desk.ts";

/** Who is told of every opening, and looks into it. */
const REVIEWERS: readonly Role[] = ["lead", "auditor"];

export interface ListedOpening {
  readonly id: string;
  readonly requestCode: string;
  readonly login: string;
  readonly name: string;
  readonly because: string;
  readonly madeAt: string;
  readonly until: string;
  readonly reviewedAt: string | null;
  readonly reviewedBy: string | null;
  readonly review: string | null;
}

/** Every opening in an emergency, the newest first; one's own, for those who do not review. */
export async function listOpenings(
  { library }: Desk,
  actor: Actor,
  which: "unreviewed" | "all",
): Promise<readonly ListedOpening[]> {
  let openings = library.read
    .selectFrom("access_grant")
    .innerJoin("request", "request.id", "access_grant.request_id")
    .innerJoin("person", "person.id", "access_grant.actor")
    .leftJoin("person as reviewer", "reviewer.id", "access_grant.reviewed_by")
    .select(["access_grant.id", "request.code", "person.login", "person.name", "access_grant.because"])
    .select(["access_grant.made_at", "access_grant.until", "access_grant.reviewed_at", "access_grant.review"])
    .select("reviewer.name as reviewer")
    .orderBy("access_grant.made_at", "desc")
    .orderBy("access_grant.id", "desc");
  if (which === "unreviewed") openings = openings.where("access_grant.reviewed_at", "is", null);
  if (!REVIEWERS.includes(actor.role)) {
    openings = openings.where("access_grant.actor", "=", actor.personId ?? "");
  }
  return (await openings.execute()).map((row) => ({
    ...{ id: row.id, requestCode: row.code, login: row.login, name: row.name, because: row.because },
    ...{ madeAt: row.made_at, until: row.until },
    ...{ reviewedAt: row.reviewed_at, reviewedBy: row.reviewer, review: row.review },
  }));
}

/** Somebody looked into an opening and says what they found: it leaves the list of the unreviewed and stays on record. */
export const reviewOpening = defineAct<{ readonly id: string; readonly finding: string }, null>({
  name: "access.review",
  may: REVIEWERS,
  consent: "nothing leaves",
  async run({ id, finding }, { writing, tables, actor, now }) {
    if (!isPlainText(finding)) return { refused: "A review says what was found" };
    const opening = await tables
      .selectFrom("access_grant")
      .select(["actor", "reviewed_at"])
      .where("id", "=", id)
      .executeTakeFirst();
    if (!opening) return { refused: `There is no opening ${id}` };
    if (opening.reviewed_at !== null) return { refused: `The opening ${id} was reviewed already` };
    if (actor.personId == null) return { refused: "Reviewing needs an account" };
    if (opening.actor === actor.personId) return { refused: "Nobody reviews their own opening" };
    await writing.update("access_grant", id, {
      reviewed_by: actor.personId,
      reviewed_at: now,
      review: finding,
    });
    return {
      value: null,
      deed: { act: "access.review", subject: `access_grant/${id}`, details: { finding } },
    };
  },
});
