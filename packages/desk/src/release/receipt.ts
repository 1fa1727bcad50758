import { createHash } from "node:crypto";
import { SCOPE_WORDS } from "@samescale/practice";
import type { Basis } from "./basis.ts";
import { deidentifies, type ScopeRules, sayRules } from "./scope-rules.ts";
import type { StagedFile } from "./stage/stage.ts";
import type { ReleaseWanted } from "./wanted.ts";

/** What goes along with a release and says what it is. */
export interface Receipt {
  readonly what: "samescale receipt 1";
  readonly release: string;
  readonly mark: string;
  /** ISO 8601 in UTC. */
  readonly madeAt: string;
  readonly releasedBy: string;
  readonly to: string;
  readonly purpose: string;
  readonly scope: string;
  readonly publication: string | null;
  readonly project: string | null;
  readonly expiresOn: string | null;
  readonly form: string;
  readonly frames: number;
  /** What was taken out or kept, one sentence each. */
  readonly rules: readonly string[];
  /**
   * Of consents and confirmed masks. `hidden`: each is the SHA-256 of "release identifier", so that two releases cannot be
   * laid side by side by them; the department can tell which they are.
   */
  readonly identifiers: "plain" | "hidden";
  readonly consents: readonly string[];
  readonly masks: readonly string[];
  readonly files: readonly StagedFile[];
}

export const receiptNames = (mark: string) => ({ json: `receipt-${mark}.json`, text: `receipt-${mark}.txt` });

export function receiptOf(
  wanted: ReleaseWanted,
  basis: Basis,
  made: {
    readonly releaseId: string;
    readonly mark: string;
    readonly now: string;
    readonly releasedBy: string;
    readonly form: string;
    readonly rules: ScopeRules;
    readonly files: readonly StagedFile[];
  },
): Receipt {
  const { releaseId, mark, now, releasedBy, form, rules, files } = made;
  const isHidden = deidentifies(rules);
  const told = (id: string) => (isHidden ? hiddenIdentifier(releaseId, id) : id);
  const masks = rules.masksConfirmed
    ? basis.frames.flatMap(({ mask }) => (mask ? told(mask.sha256) : []))
    : [];
  return {
    what: "samescale receipt 1",
    release: releaseId,
    mark,
    madeAt: now,
    releasedBy,
    to: wanted.to,
    purpose: wanted.purpose,
    scope: wanted.scope,
    publication: wanted.publication ?? null,
    project: basis.project?.name ?? null,
    expiresOn: basis.expiresOn,
    form,
    frames: basis.frames.length,
    rules: sayRules(rules),
    identifiers: isHidden ? "hidden" : "plain",
    consents: basis.consentIds.map(told),
    masks,
    files: [...files].sort((a, b) => (a.name < b.name ? -1 : 1)),
  };
}

/** What stands for an identifier in a de-identified release. Identifiers are long and random: none can be guessed from it. */
const hiddenIdentifier = (releaseId: string, id: string): string =>
  createHash("sha256").update(`${releaseId} ${id}`).digest("hex");

/** The same for a person to read. Plain text, so that nothing in it can be run. */
export function receiptText(receipt: Receipt): string {
  const { rules, files, consents, masks, identifiers } = receipt;
  const hidden = identifiers === "hidden" ? " (each stands for one that the department can tell)" : "";
  return `${[
    "RECEIPT OF A RELEASE",
    "",
    `Release     ${receipt.release}, files marked ${receipt.mark}`,
    `Made        ${receipt.madeAt} by ${receipt.releasedBy}`,
    `To          ${receipt.to}`,
    `For         ${receipt.purpose}`,
    `Scope       ${SCOPE_WORDS[receipt.scope as keyof typeof SCOPE_WORDS]}`,
    ...(receipt.publication === null ? [] : [`Publication ${receipt.publication}`]),
    ...(receipt.project === null ? [] : [`Project     ${receipt.project}`]),
    `Use ends    ${receipt.expiresOn ?? "no day was agreed; it ends at once when consent is withdrawn"}`,
    `Pictures    ${receipt.frames}, as ${receipt.form}`,
    "",
    ...rules.map((sentence) => `- ${sentence}`),
    "",
    `Rests on these consents${hidden}:`,
    ...consents.map((id) => `  ${id}`),
    ...(masks.length === 0
      ? []
      : ["", `Masks, each confirmed by a person${hidden}:`, ...masks.map((id) => `  ${id}`)]),
    "",
    "Files, by SHA-256 (sha256sum prints the same):",
    ...files.map(({ sha256, name, bytes }) => `${sha256}  ${name}  (${bytes} bytes)`),
    "",
    "When consent is withdrawn, the department asks for these files back. Pass them on to nobody.",
  ].join("\n")}\n`;
}
