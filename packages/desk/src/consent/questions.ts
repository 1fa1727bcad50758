import { createHash } from "node:crypto";
import {
  CONSENT_CAPACITIES,
  CONSENT_SCOPES,
  type ConsentCapacity,
  type ConsentRules,
  type ConsentScope,
  cautions,
  isPublication,
  reaches,
  SCOPE_WORDS,
  wordingFor,
} from "@samescale/practice";

/** One question as it is put, with everything that whoever asks has to have before them. */
export interface ConsentQuestion {
  readonly scope: ConsentScope;
  /** As it stands in a sentence. */
  readonly words: string;
  readonly namesPublication: boolean;
  /** Who may say yes to it. */
  readonly capacities: readonly ConsentCapacity[];
  /** The department's own text, its version and its hash as they are kept with the answer; null: nobody can be asked. */
  readonly wording: { readonly version: string; readonly text: string; readonly sha256: string } | null;
  readonly cautions: readonly string[];
}

/** The seven questions of docs/consent.md, each by itself. */
export function consentQuestions(rules: ConsentRules): readonly ConsentQuestion[] {
  return CONSENT_SCOPES.map((scope) => {
    const wording = wordingFor(rules, scope);
    return {
      scope,
      words: SCOPE_WORDS[scope],
      namesPublication: isPublication(scope),
      capacities: CONSENT_CAPACITIES.filter((capacity) => reaches(capacity, scope)),
      wording: wording && {
        version: wording.version,
        text: wording.text,
        sha256: createHash("sha256").update(wording.text).digest("hex"),
      },
      cautions: SHOWS_OTHERS.includes(scope) ? [cautions["eyes-covered"]] : [],
    };
  });
}

/** Scopes under which people outside the patient's care see the pictures. */
const SHOWS_OTHERS: readonly ConsentScope[] = [
  "teaching",
  "publication-print",
  "publication-open-web",
  "research",
];
