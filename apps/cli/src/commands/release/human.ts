import type { KnownRelease, Refusal, Released, ReleasedCheck } from "@samescale/desk";
import { SCOPE_WORDS } from "@samescale/practice";

const STATE = { out: "left", unfinished: "not handed over", "taken-back": "taken back" } as const;

export function releaseLine(release: KnownRelease): string {
  const { id, madeAt, state, to, scope, purpose, folder, form, expiresOn, isExpired, recallBecause } =
    release;
  const marks = [
    expiresOn === null ? null : `${isExpired ? "use ended" : "until"} ${expiresOn}`,
    recallBecause === null ? null : `ask it back: ${recallBecause}`,
    release.takenBackBecause,
  ].filter((each) => each !== null);
  const says = marks.length === 0 ? "" : ` (${marks.join("; ")})`;
  return `${madeAt.slice(0, 16).replace("T", " ")}  ${id}  ${STATE[state]}: ${folder}, ${form} to ${to} for ${SCOPE_WORDS[scope]}: ${purpose}${says}`;
}

export function releaseText({ id, folder, receipt, takenBack }: Released, releasedFolder: string): string[] {
  return [
    `Released ${counted(receipt.files.length, "file")} for ${counted(receipt.frames, "picture")}: ${releasedFolder}/${folder} (${id}).`,
    `Use ends ${receipt.expiresOn ?? "when consent is withdrawn"}. Give receipt-${receipt.mark}.txt along.`,
    ...takenBack.map((each) => `Taken back, as the program was ended while it was made: ${each}.`),
  ];
}

export function refusalLines(refusals: readonly Refusal[]): string[] {
  return [
    "Nothing has left:",
    ...refusals.map(({ frame, why }) => `  ${frame === null ? "" : `${frame}: `}${why}.`),
  ];
}

export function checkText({ releases, files, faults }: ReleasedCheck): string[] {
  if (faults.length > 0) return faults.map(({ file, fault }) => `${file}: ${fault}`);
  return [`Everything as it left: ${releases.length} releases, ${files} files.`];
}

const counted = (n: number, thing: string): string => `${n} ${thing}${n === 1 ? "" : "s"}`;
