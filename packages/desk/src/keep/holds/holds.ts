import type { Library } from "@samescale/record";
import { maySeeRequest } from "../../access/seeing.ts";
import { type Actor, actorText, PHOTOGRAPHERS, type Role } from "../../act/actor.ts";
import { isPlainText } from "../../act/checks.ts";
import { type ActContext, defineAct } from "../../act/define-act.ts";
import type { Desk } from "../../desk.ts";

/** Placing a hold only keeps things, so whoever hears of a case first does it. Lifting one is for the lead. */
const LIFTS: readonly Role[] = ["lead"];

/** What a hold is on, by its id. */
export interface HeldSubject {
  readonly of: "patient" | "request" | "frame";
  readonly id: string;
}

/** Nothing that a hold covers is destroyed, whatever a rule says: all of a patient, of a request, or one frame. */
export const placeHold = defineAct<HeldSubject & { readonly because: string }, { readonly id: string }>({
  name: "hold.place",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ of, id: subjectId, because }, { writing, tables, actor, now, newId }) {
    if (!isPlainText(because))
      return { refused: "A legal hold needs a reason: who asked for it, in which matter" };
    const known = await tables.selectFrom(of).select("id").where("id", "=", subjectId).executeTakeFirst();
    if (!known) return { refused: `There is no ${of} ${subjectId}` };
    const subject = `${of}/${subjectId}`;
    const id = newId();
    await writing.insert("hold", {
      id,
      subject,
      because,
      placed_by: actorText(actor),
      made_at: now,
      lifted_at: null,
      lifted_by: null,
      lifted_because: null,
    });
    return { value: { id }, deed: { act: "hold.place", subject, details: { hold: id, because } } };
  },
});

/** Other holds on the same thing stay. */
export const liftHold = defineAct<
  { readonly id: string; readonly because: string },
  { readonly subject: string }
>({
  name: "hold.lift",
  may: LIFTS,
  consent: "nothing leaves",
  async run({ id, because }, { writing, tables, actor, now }) {
    if (!isPlainText(because)) return { refused: "Lifting a legal hold needs a reason: who released it" };
    const row = await tables.selectFrom("hold").selectAll().where("id", "=", id).executeTakeFirst();
    if (!row) return { refused: `There is no hold ${id}` };
    if (row.lifted_at !== null) return { refused: `This hold was lifted on ${row.lifted_at}` };
    await writing.update("hold", id, {
      lifted_at: now,
      lifted_by: actorText(actor),
      lifted_because: because,
    });
    const details = { hold: id, because, placedBecause: row.because };
    return { value: { subject: row.subject }, deed: { act: "hold.lift", subject: row.subject, details } };
  },
});

/** All holds, newest first; those on what this person may not know of are not there. */
export async function listHolds(desk: Desk, actor: Actor, options: { readonly lifted: boolean }) {
  const { read, clock } = desk.library;
  const rows = await read
    .selectFrom("hold")
    .selectAll()
    .$if(!options.lifted, (query) => query.where("lifted_at", "is", null))
    .orderBy("id", "desc")
    .execute();
  const now = clock().toISOString();
  const seen = [];
  for (const row of rows) {
    if (!(await maySeeHeld(read, actor, row.subject, now))) continue;
    seen.push({ ...row, requestCode: await codeOfHeld(read, row.subject) });
  }
  return seen;
}

/** Code of the request that is held; null: a patient or a frame is. */
async function codeOfHeld(
  tables: Pick<Library["read"], "selectFrom">,
  subject: string,
): Promise<string | null> {
  const [of, id = ""] = subject.split("/");
  if (of !== "request") return null;
  const row = await tables.selectFrom("request").select("code").where("id", "=", id).executeTakeFirst();
  return row?.code ?? null;
}

/** A patient is known to whoever knows of one of their requests; what belongs to no request, to those who place it. */
async function maySeeHeld(
  tables: Pick<Library["read"], "selectFrom">,
  actor: Actor,
  subject: string,
  now: string,
): Promise<boolean> {
  if (actor.role === "auditor" || PHOTOGRAPHERS.includes(actor.role)) return true;
  const [of, id = ""] = subject.split("/");
  if (of === "request") return maySeeRequest(tables, actor, id, now);
  const requests =
    of === "patient"
      ? await tables.selectFrom("request").select("id").where("patient_id", "=", id).execute()
      : await tables.selectFrom("frame").select("request_id as id").where("id", "=", id).execute();
  for (const { id: requestId } of requests) {
    if (requestId !== null && (await maySeeRequest(tables, actor, requestId, now))) return true;
  }
  return false;
}

/** Why something of this request is held, a sentence for each hold; none: nothing holds it. */
export async function holdsOn(
  tables: ActContext["tables"],
  requestId: string,
  patientId: string | null,
  frameIds: readonly string[],
): Promise<string[]> {
  const subjects = [
    `request/${requestId}`,
    ...(patientId === null ? [] : [`patient/${patientId}`]),
    ...frameIds.map((id) => `frame/${id}`),
  ];
  const sentences: string[] = [];
  for (let at = 0; at < subjects.length; at += 500) {
    const rows = await tables
      .selectFrom("hold")
      .selectAll()
      .where("subject", "in", subjects.slice(at, at + 500))
      .where("lifted_at", "is", null)
      .orderBy("id")
      .execute();
    sentences.push(
      ...rows.map((row) => `${row.subject} is held since ${row.made_at.slice(0, 10)}: ${row.because}`),
    );
  }
  return sentences;
}
