import {
  type ConsentRules,
  type ConsentScope,
  comesOfAgeOn,
  daysLater,
  isCare,
  reaches,
  SCOPE_WORDS,
  sayWhyItFallsShort,
} from "@samescale/practice";
import { isDay, isPlainText } from "../act/checks.ts";
import type { AnswerDetails, ChildsWord } from "./answer-details.ts";

/** Who answers, and in what capacity. */
export type Giver =
  /** For themselves; on a non-clinical request whoever is portrayed. The name is known where a patient is. */
  | { readonly capacity: "patient" }
  | {
      readonly capacity: "parental-responsibility";
      readonly name: string;
      /** What they are to the child: mother, guardian. */
      readonly relation: string;
      readonly child: ChildsWord;
    }
  | {
      readonly capacity: "best-interest";
      /** Who decided. */
      readonly name: string;
      readonly policy: string;
      /** From this day on the patient is to be asked; null: as soon as they can decide again. */
      readonly askAgainOn: string | null;
    }
  | {
      readonly capacity: "legal-basis";
      /** Who relies on it: the court, the officer in charge. */
      readonly name: string;
      readonly basis: string;
    };

/** Whoever is asked for themselves: the patient, or somebody portrayed. */
export interface Subject {
  readonly name: string;
  readonly birthDate: string | null;
  readonly isPatient: boolean;
}

/** A question as it was put, and the answer. */
export interface Said {
  readonly answer: "given" | "refused";
  readonly scope: ConsentScope;
  readonly by: Giver;
  readonly assessed: AnswerDetails["assessed"];
  /** Day of the answer, YYYY-MM-DD. */
  readonly day: string;
  readonly until: string | null;
}

/** What stands in the row, or one sentence that refuses it. */
export type Accepted =
  | { readonly givenBy: string; readonly until: string | null; readonly details: Partial<AnswerDetails> }
  | { readonly refused: string };

/**
 * Whether this person may give this answer. A no may come from anybody who may speak for the patient; a yes has to
 * come from the one who may say it. Common practice, no source; after trade-facts 7.2.
 */
export function accepted(said: Said, subject: Subject, rules: ConsentRules): Accepted {
  const { by, scope, assessed } = said;
  const texts = Object.values(by).filter((value) => value !== null);
  if (!texts.every(isPlainText) || (assessed && !Object.values(assessed).every(isPlainText))) {
    return { refused: "Who answered, in what capacity and on what basis has to be said in plain text" };
  }
  if (said.answer === "given" && !reaches(by.capacity, scope)) {
    return { refused: `Consent for ${SCOPE_WORDS[scope]} ${sayWhyItFallsShort(by.capacity)}` };
  }
  if (!subject.isPatient && (by.capacity === "best-interest" || by.capacity === "legal-basis")) {
    return { refused: "Whoever is portrayed answers, or whoever has parental responsibility for them" };
  }
  const ofAgeOn =
    subject.birthDate && comesOfAgeOn(subject.birthDate, rules.ageOfMajority, rules.leapDayBirthday);
  const taken = acceptedFrom(by, said, subject.name, ofAgeOn);
  return "refused" in taken || !assessed ? taken : { ...taken, details: { ...taken.details, assessed } };
}

function acceptedFrom(by: Giver, said: Said, name: string, ofAgeOn: string | null): Accepted {
  switch (by.capacity) {
    case "patient":
      return fromPatient(name, said, ofAgeOn);
    case "parental-responsibility":
      return fromParent(by, said, ofAgeOn);
    case "best-interest":
      return inBestInterest(by, said);
    case "legal-basis":
      return { givenBy: by.name, until: said.until, details: { basis: by.basis } };
  }
}

type From<C extends Giver["capacity"]> = Extract<Giver, { capacity: C }>;

function fromPatient(name: string, { answer, day, until, assessed }: Said, ofAgeOn: string | null): Accepted {
  if (answer === "given" && ofAgeOn !== null && day < ofAgeOn && !assessed) {
    return {
      refused: `The patient comes of age on ${ofAgeOn}: say who assessed that they can decide this alone, or ask whoever has parental responsibility`,
    };
  }
  return { givenBy: name, until, details: {} };
}

function fromParent(
  { name, relation, child }: From<"parental-responsibility">,
  { answer, scope, day, until }: Said,
  ofAgeOn: string | null,
): Accepted {
  if (ofAgeOn !== null && day >= ofAgeOn) {
    return { refused: `The patient came of age on ${ofAgeOn}: they answer themselves` };
  }
  if (answer === "given" && child === "disagrees" && !isCare(scope)) {
    return { refused: "The child does not agree: what serves others than the child is then refused" };
  }
  // What serves others ends where the parent's word ends; whoever has come of age is asked (tasks.ts).
  const lastDay = ofAgeOn === null || isCare(scope) || answer === "refused" ? null : daysLater(ofAgeOn, -1);
  const isLonger = lastDay !== null && (until === null || until > lastDay);
  return { givenBy: name, until: isLonger ? lastDay : until, details: { relation, child } };
}

function inBestInterest(
  { name, policy, askAgainOn }: From<"best-interest">,
  { until, assessed }: Said,
): Accepted {
  if (!assessed) {
    return {
      refused: "A decision in the patient's best interest needs who assessed that they cannot decide",
    };
  }
  if (askAgainOn !== null && !isDay(askAgainOn)) {
    return { refused: `Expected a day to ask again such as 2026-04-15, received ${askAgainOn}` };
  }
  return { givenBy: name, until, details: { policy, ...(askAgainOn !== null && { askAgainOn }) } };
}
