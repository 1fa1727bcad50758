import { type ConsentScope, SCOPE_WORDS } from "./consent/scopes.ts";

/** One scope that somebody gave. Days are YYYY-MM-DD. */
export interface Consent {
  readonly scope: ConsentScope;
  readonly givenBy: string;
  readonly givenOn: string;
  /** Last day on which it holds; null: no end was agreed. */
  readonly until: string | null;
  /** Day from which it holds no more; earlier releases stay listed. */
  readonly withdrawnOn: string | null;
}

/** Why a release for this purpose on this day is not covered, or null when it is. */
export function whyNotCovered(consents: readonly Consent[], scope: ConsentScope, day: string): string | null {
  const given = consents.filter((c) => c.scope === scope);
  if (given.length === 0) return `No consent was given for ${SCOPE_WORDS[scope]}`;
  const holds = given.some(
    (c) =>
      c.givenOn <= day &&
      (c.until === null || day <= c.until) &&
      (c.withdrawnOn === null || day < c.withdrawnOn),
  );
  if (holds) return null;
  const withdrawn = given.find((c) => c.withdrawnOn !== null && c.withdrawnOn <= day);
  if (withdrawn) return `Consent for ${SCOPE_WORDS[scope]} was withdrawn on ${withdrawn.withdrawnOn}`;
  return `Consent for ${SCOPE_WORDS[scope]} does not hold on ${day}`;
}
