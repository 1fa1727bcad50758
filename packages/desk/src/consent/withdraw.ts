import { type ConsentScope, SCOPE_WORDS } from "@samescale/practice";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { isPlainText } from "../act/checks.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { momentOf } from "./moment.ts";
import { type WentOut, wentOutUnder } from "./went-out.ts";

export interface Withdrawal {
  readonly consentId: string;
  /** Who withdrew it: the patient, or whoever gave it. */
  readonly by: string;
  /** In their own words; nobody has to give a reason. */
  readonly because?: string;
  /** When they said so; without: now. */
  readonly at?: string;
}

/**
 * Ends a yes: nothing leaves under it from now on, and what has left is listed and marked, to be asked back.
 * @source GmcRecordings (25: consent may be withdrawn without effect on care)
 */
export const withdrawConsent = defineAct<
  Withdrawal,
  { readonly scope: ConsentScope; readonly wentOut: readonly WentOut[] }
>({
  name: "consent.withdraw",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ consentId, by, because, at }, context) {
    const moment = momentOf(at, context.now);
    if ("refused" in moment) return moment;
    const reason = because ?? "no reason given";
    const ended = await endAnswer(context, { consentId, by, because: reason, at: moment.at });
    if ("refused" in ended) return ended;
    const wentOut = await wentOutUnder(context, consentId);
    const { scope } = ended;
    const details = { scope, by, because: reason, releases: wentOut.map(({ releaseId }) => releaseId) };
    return {
      value: { scope, wentOut },
      deed: { act: "consent.withdraw", subject: `consent/${consentId}`, details },
    };
  },
});

export interface Ended {
  readonly consentId: string;
  readonly by: string;
  readonly because: string;
  readonly at: string;
}

/** Writes the withdrawal into the row: the only thing of an answer that is ever written later. */
export async function endAnswer(
  { tables, writing }: ActContext,
  { consentId, by, because, at }: Ended,
): Promise<{ readonly scope: ConsentScope; readonly givenAt: string } | { readonly refused: string }> {
  if (!isPlainText(by) || !isPlainText(because)) {
    return { refused: "Who withdraws it, and the reason if there is one, have to be plain text" };
  }
  const row = await tables
    .selectFrom("consent")
    .select(["scope", "answer", "given_at", "withdrawn_at"])
    .where("id", "=", consentId)
    .executeTakeFirst();
  if (!row) return { refused: `There is no consent ${consentId}` };
  const scope = row.scope as ConsentScope;
  if (row.answer === "refused") {
    return { refused: `Consent for ${SCOPE_WORDS[scope]} was refused: nothing is there to withdraw` };
  }
  if (row.withdrawn_at !== null) {
    return { refused: `Consent for ${SCOPE_WORDS[scope]} was withdrawn on ${row.withdrawn_at.slice(0, 10)}` };
  }
  await writing.update("consent", consentId, {
    withdrawn_at: at,
    withdrawn_by: by,
    withdrawn_because: because,
  });
  return { scope, givenAt: row.given_at };
}
