import { type ConsentScope, RECALLS, SCOPE_WORDS } from "@samescale/practice";
import type { ActContext } from "../act/define-act.ts";
import { answerOf } from "./answers-of.ts";
import { consentAsOf } from "./consent-for-use.ts";

/** A release that has gone out and that consent does not cover any more. */
export interface WentOut {
  readonly releaseId: string;
  readonly to: string;
  readonly scope: ConsentScope;
  readonly publication: string | null;
  /** Names of the files that show what is not covered any more. */
  readonly files: readonly string[];
  /** ISO 8601 in UTC. */
  readonly leftAt: string;
  /** Whether somebody has to write to the recipient, and for what. */
  readonly askBack: boolean;
  readonly says: string;
}

/**
 * After an answer ended, or a no was said: every release that this concerns and of which something is not covered any
 * more. Those whose recipient must be asked are marked.
 */
export async function wentOutUnder(context: ActContext, consentId: string): Promise<WentOut[]> {
  const { tables, writing } = context;
  const row = await tables
    .selectFrom("consent")
    .selectAll()
    .where("id", "=", consentId)
    .executeTakeFirstOrThrow();
  const answer = answerOf(row);
  const { askBack, says } = RECALLS[answer.scope];
  const because =
    answer.answer === "refused"
      ? `Consent for ${SCOPE_WORDS[answer.scope]} was refused on ${answer.givenAt.slice(0, 10)}`
      : `Consent for ${SCOPE_WORDS[answer.scope]} was withdrawn on ${answer.withdrawnAt?.slice(0, 10)}`;
  let query = tables
    .selectFrom("release")
    .select(["id", "request_id", "recipient", "publication", "made_at", "recall_because"])
    .where("scope", "=", answer.scope)
    .where("taken_back_at", "is", null);
  query =
    row.patient_id === null
      ? query.where("request_id", "=", row.request_id)
      : query.where((is) =>
          is.or([
            is("patient_id", "=", row.patient_id),
            is(
              "request_id",
              "in",
              is.selectFrom("request").select("request.id").where("request.patient_id", "=", row.patient_id),
            ),
          ]),
        );
  if (answer.publication !== null) query = query.where("publication", "=", answer.publication);
  const coveredNow = askOnce(context, answer.scope);
  const wentOut: WentOut[] = [];
  for (const release of await query.orderBy("made_at").orderBy("id").execute()) {
    const { id, recipient, publication, made_at: leftAt } = release;
    const files = await filesNotCovered(tables, release, coveredNow);
    if (files.length === 0) continue;
    wentOut.push({
      releaseId: id,
      to: recipient,
      scope: answer.scope,
      publication,
      files,
      leftAt,
      askBack,
      says,
    });
    if (askBack && release.recall_because === null) {
      await writing.update("release", id, { recall_because: because });
    }
  }
  return wentOut;
}

interface LeftRelease {
  readonly id: string;
  readonly request_id: string | null;
  readonly publication: string | null;
}

type Asks = (release: LeftRelease, frameId: string | null) => Promise<boolean>;

/** Many releases show the same picture: each question is asked once. */
function askOnce({ tables, now: at }: ActContext, scope: ConsentScope): Asks {
  const asked = new Map<string, Promise<boolean>>();
  return ({ request_id: requestId, publication }, frameId) => {
    if (requestId === null) return Promise.resolve(false);
    const key = JSON.stringify([requestId, frameId, publication]);
    const known =
      asked.get(key) ??
      consentAsOf(tables, { scope, at, requestId, frameId, publication }).then(({ covered }) => covered);
    asked.set(key, known);
    return known;
  };
}

/** A document of the whole release goes with the first picture of it that is not covered. */
async function filesNotCovered(
  tables: ActContext["tables"],
  release: LeftRelease,
  coveredNow: Asks,
): Promise<string[]> {
  const items = await tables
    .selectFrom("release_item")
    .select(["name", "frame_id"])
    .where("release_id", "=", release.id)
    .orderBy("name")
    .execute();
  const shown = new Set(items.map(({ frame_id }) => frame_id));
  if (shown.size > 1) shown.delete(null);
  const notCovered = new Set<string | null>();
  for (const frameId of shown) {
    if (!(await coveredNow(release, frameId))) notCovered.add(frameId);
  }
  if (notCovered.size === 0) return [];
  const files = items.filter(({ frame_id }) => frame_id === null || notCovered.has(frame_id));
  return [...new Set(files.map(({ name }) => name))];
}
