/**
 * How far consent reaches. Each scope stands alone: a wider one never follows from a narrower one, and evidence rests on
 * its legal basis or on the patient's own word for it. Common practice, no source; after the scopes in docs/words.md.
 */
export const CONSENT_SCOPES = [
  "health-record",
  "requester",
  "teaching",
  "publication-print",
  "publication-open-web",
  "research",
  "evidence",
] as const;
export type ConsentScope = (typeof CONSENT_SCOPES)[number];

/** In which capacity somebody answered. */
export const CONSENT_CAPACITIES = [
  "patient",
  "parental-responsibility",
  "best-interest",
  "legal-basis",
] as const;
export type ConsentCapacity = (typeof CONSENT_CAPACITIES)[number];

/** Scopes whose consent names the very publication. */
export const isPublication = (scope: ConsentScope): boolean => scope.startsWith("publication-");

/** Scopes that serve the patient's own care; every other serves somebody else. */
export const isCare = (scope: ConsentScope): boolean => scope === "health-record" || scope === "requester";

/** As it stands in a sentence: "Consent for … was withdrawn". */
export const SCOPE_WORDS: Readonly<Record<ConsentScope, string>> = {
  "health-record": "the health record",
  requester: "the requester",
  teaching: "teaching",
  "publication-print": "publication in print",
  "publication-open-web": "publication on the open web",
  research: "research",
  evidence: "evidence",
};

/**
 * Whether an answer given in this capacity can reach this far: a decision in the patient's best interest serves the
 * patient's own care and nothing else; a legal basis serves evidence and nothing else; evidence is not for parents to give.
 * Common practice, no source; trade-facts 7.2.
 */
export function reaches(capacity: ConsentCapacity, scope: ConsentScope): boolean {
  switch (capacity) {
    case "patient":
      return true;
    case "parental-responsibility":
      return scope !== "evidence";
    case "best-interest":
      return isCare(scope);
    case "legal-basis":
      return scope === "evidence";
  }
}

/** After "Consent for …": why an answer of this capacity does not reach that far. */
export function sayWhyItFallsShort(capacity: ConsentCapacity): string {
  if (capacity === "best-interest") {
    return "cannot be decided in the patient's best interest, which serves the patient's own care only";
  }
  if (capacity === "legal-basis") return "cannot rest on a legal basis, which serves evidence only";
  return "is not for a parent to give: it needs a legal basis, or the patient's own word for it";
}
