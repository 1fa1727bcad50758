import { CONSENT_SCOPES, type ConsentAnswer, type ConsentScope, isPublication } from "@samescale/practice";
import { maySeeRequest } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { type AnswerDetails, detailsOf } from "./answer-details.ts";
import { answerOf } from "./answers-of.ts";
import { consentForUse } from "./consent-for-use.ts";

/** One answer with all that was written down about it. */
export interface AnswerOnRecord extends ConsentAnswer {
  readonly givenBy: string;
  readonly takenBy: string;
  readonly wordingVersion: string;
  readonly withdrawn: { readonly by: string; readonly because: string } | null;
  readonly details: AnswerDetails;
}

export interface ConsentsOfRequest {
  readonly portrayed: readonly {
    readonly id: string;
    readonly name: string;
    readonly frames: number | null;
  }[];
  readonly answers: readonly AnswerOnRecord[];
  /** For every picture of the request as a whole, at this moment. Publications: those that some answer names. */
  readonly now: readonly {
    readonly scope: ConsentScope;
    readonly publication: string | null;
    readonly covered: boolean;
    /** Why not. */
    readonly why: string | null;
  }[];
}

/** What was answered for a request, oldest first, and how far that reaches now. */
export async function consentsOf(
  { library }: Desk,
  actor: Actor,
  requestId: string,
): Promise<Outcome<ConsentsOfRequest>> {
  const { read } = library;
  const at = library.clock().toISOString();
  if (!(await maySeeRequest(read, actor, requestId, at))) {
    return { done: false, reason: `There is no request ${requestId}` };
  }
  const request = await read
    .selectFrom("request")
    .select("patient_id")
    .where("id", "=", requestId)
    .executeTakeFirstOrThrow();
  const { patient_id: patientId } = request;
  let query = read.selectFrom("consent").selectAll();
  query =
    patientId === null
      ? query.where("request_id", "=", requestId).where("patient_id", "is", null)
      : query.where("patient_id", "=", patientId);
  const rows = await query.orderBy("given_at").orderBy("id").execute();
  const answers = rows.map((row) => ({
    ...answerOf(row),
    givenBy: row.given_by,
    takenBy: row.taken_by,
    wordingVersion: row.wording_version,
    withdrawn:
      row.withdrawn_at === null ? null : { by: row.withdrawn_by ?? "", because: row.withdrawn_because ?? "" },
    details: detailsOf(row.details),
  }));
  const portrayed = await read
    .selectFrom("portrayed")
    .select(["id", "name", "frames"])
    .where("request_id", "=", requestId)
    .where("void_because", "is", null)
    .orderBy("id")
    .execute();
  const now: ConsentsOfRequest["now"][number][] = [];
  for (const scope of CONSENT_SCOPES) {
    for (const publication of publicationsOf(answers, scope)) {
      const covered = await consentForUse(read, { scope, at, requestId, frameId: null, publication });
      now.push({
        scope,
        publication,
        covered: covered.covered,
        why: covered.covered ? null : covered.why,
      });
    }
  }
  return {
    done: true,
    value: {
      portrayed: portrayed.map(({ id, name, frames }) => ({
        id,
        name,
        frames: frames === null ? null : (JSON.parse(frames) as string[]).length,
      })),
      answers,
      now,
    },
  };
}

/** For the other scopes the one question without a publication. */
function publicationsOf(answers: readonly ConsentAnswer[], scope: ConsentScope): (string | null)[] {
  if (!isPublication(scope)) return [null];
  const named = answers.flatMap((answer) =>
    answer.scope === scope && answer.publication !== null ? [answer.publication] : [],
  );
  return named.length === 0 ? [null] : [...new Set(named)];
}
