import { comesOfAgeOn, type LeapDayBirthday } from "../consent/age.ts";
import type { RetentionRule } from "./rules.ts";

/** What the rules ask of a request. Days are YYYY-MM-DD. */
export interface RetentionFacts {
  readonly kind: "clinical" | "non-clinical";
  readonly birthDate: string | null;
  /** The patient's last visit; of a request without a patient its own last day. */
  readonly lastVisitOn: string;
  readonly purpose: string | null;
  readonly evidence: boolean;
}

export interface Majority {
  readonly ageOfMajority: number;
  readonly leapDayBirthday: LeapDayBirthday;
}

/** Until when something is kept, under which rule, and why, in words. `from` null: it is not to be destroyed. */
export interface KeptUntil {
  /** First day on which it may be proposed for destroying. */
  readonly from: string | null;
  readonly rule: string | null;
  readonly why: string;
}

/**
 * Of all rules that are about this request the one that keeps it longest decides. What a rule would have to know and
 * does not keeps it, too: it is never destroyed by a gap in the record. Common practice, no source.
 */
export function keptUntil(
  rules: readonly RetentionRule[],
  facts: RetentionFacts,
  majority: Majority,
): KeptUntil {
  const about = rules.filter((rule) => isAbout(rule, facts, majority));
  if (about.length === 0) return { from: null, rule: null, why: "No rule says how long it is kept" };
  let longest: { readonly from: string; readonly rule: RetentionRule } | null = null;
  for (const rule of about) {
    if (rule.keepYears === "for-ever")
      return { from: null, rule: rule.name, why: `Kept for ever: ${rule.why}` };
    const needsBirth = rule.of.child !== undefined || rule.after === "majority";
    if (needsBirth && facts.birthDate === null) {
      return {
        from: null,
        rule: rule.name,
        why: "The date of birth is not known, and this rule counts from it",
      };
    }
    const base =
      rule.after === "majority"
        ? comesOfAgeOn(facts.birthDate ?? "", majority.ageOfMajority, majority.leapDayBirthday)
        : facts.lastVisitOn;
    const from = yearsLater(base, rule.keepYears);
    if (longest === null || from > longest.from) longest = { from, rule };
  }
  const { from, rule } = longest as { from: string; rule: RetentionRule };
  const since = rule.after === "majority" ? "coming of age" : `the last visit on ${facts.lastVisitOn}`;
  return { from, rule: rule.name, why: `Kept for ${rule.keepYears} years after ${since}: until ${from}` };
}

/** Whether it may be about it: a birth that is not known fits both children and adults. */
function isAbout({ of }: RetentionRule, facts: RetentionFacts, majority: Majority): boolean {
  if (of.kind !== undefined && of.kind !== facts.kind) return false;
  if (of.evidence !== undefined && of.evidence !== facts.evidence) return false;
  if (of.child !== undefined && facts.birthDate !== null) {
    const cameOfAge = comesOfAgeOn(facts.birthDate, majority.ageOfMajority, majority.leapDayBirthday);
    if (facts.lastVisitOn < cameOfAge !== of.child) return false;
  }
  const purpose = facts.purpose?.toLowerCase() ?? "";
  return of.purpose === undefined || of.purpose.some((word) => purpose.includes(word.toLowerCase()));
}

/** The same day so many years later; of 29 February the day after where there is none. */
const yearsLater = (day: string, years: number): string => comesOfAgeOn(day, years, "03-01");
