import { type KeptUntil, keptUntil, type Practice } from "@samescale/practice";
import { seenRequests } from "../../access/seeing.ts";
import type { Actor } from "../../act/actor.ts";
import type { Desk } from "../../desk.ts";
import { holdsOn } from "../holds/holds.ts";
import { factsOf, type RequestFacts } from "./facts.ts";

/** The rules of retention, and the age that they count from. */
export type RetentionPractice = Pick<Practice, "retention" | "consent">;

/** A request whose time is over. A proposal and nothing more: a person decides. */
export interface RetentionProposal {
  readonly requestId: string;
  readonly code: string;
  readonly frames: number;
  readonly originals: number;
  readonly bytes: number;
  readonly from: string;
  readonly rule: string;
  readonly why: string;
  /** What speaks against it all the same, a sentence each: it is then refused. */
  readonly against: readonly string[];
}

const AT_ONCE = 200;

/**
 * Everything whose time is over on a day, in the order of the requests. Changes nothing.
 * @param day YYYY-MM-DD
 */
export async function* retentionProposals(
  desk: Desk,
  actor: Actor,
  practice: RetentionPractice,
  day: string,
): AsyncGenerator<RetentionProposal> {
  const { read, clock } = desk.library;
  for (let after = ""; ; ) {
    const page = await read
      .selectFrom("request")
      .select("id")
      .where("id", ">", after)
      .where((is) => seenRequests(actor, clock().toISOString())(is))
      .orderBy("id")
      .limit(AT_ONCE)
      .execute();
    for (const { id } of page) {
      const facts = await factsOf(read, id);
      if (facts === null) continue;
      const kept = ruleFor(practice, facts);
      if (kept.from === null || kept.rule === null || kept.from > day) continue;
      const { n, bytes } = await read
        .selectFrom("file")
        .innerJoin("frame", "frame.id", "file.frame_id")
        .select((of) => [
          of.fn.countAll<number>().as("n"),
          of.fn.sum<number | null>("file.bytes").as("bytes"),
        ])
        .where("frame.request_id", "=", id)
        .where("file.destroyed_at", "is", null)
        .executeTakeFirstOrThrow();
      if (Number(n) === 0) continue;
      const { code, frameIds, patientId } = facts;
      yield {
        requestId: id,
        code,
        frames: frameIds.length,
        originals: Number(n),
        bytes: Number(bytes ?? 0),
        from: kept.from,
        rule: kept.rule,
        why: kept.why,
        against: [
          ...(facts.evidence ? ["It is evidence"] : []),
          ...(await holdsOn(read, id, patientId, frameIds)),
        ],
      };
    }
    const last = page.at(-1);
    if (last === undefined) return;
    after = last.id;
  }
}

export const ruleFor = ({ retention, consent }: RetentionPractice, facts: RequestFacts): KeptUntil =>
  keptUntil(retention, facts, consent);
