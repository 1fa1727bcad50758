import type { AnswerOnRecord, ConsentsOfRequest, ConsentTask, Recall, WentOut } from "@samescale/desk";
import { SCOPE_WORDS } from "@samescale/practice";

/** How far consent reaches now first; then every answer that it rests on. */
export function onRecordText({ portrayed, answers, now }: ConsentsOfRequest): string[] {
  const reaches = now.map(({ scope, publication, covered, why }) => {
    const what = `${scope}${publication === null ? "" : `, ${publication}`}`;
    return `${covered ? "yes" : "no "}  ${what}${why === null ? "" : `: ${why}`}`;
  });
  const persons = portrayed.map(
    ({ id, name, frames }) => `${name}${frames === null ? "" : `, ${frames} pictures`} (${id})`,
  );
  return [
    "Now, for the request as a whole:",
    ...reaches.map(indented),
    ...(persons.length === 0 ? [] : ["Portrayed:", ...persons.map(indented)]),
    answers.length === 0 ? "Nobody has answered anything yet." : "Answers:",
    ...answers.flatMap(answerText),
  ];
}

const indented = (says: string) => `  ${says}`;

function answerText(answer: AnswerOnRecord): string[] {
  const { id, scope, publication, person, givenAt, givenBy, capacity, takenBy, until, frames } = answer;
  const { details, requestId, wordingVersion, withdrawn, withdrawnAt } = answer;
  const capacityWords = [
    capacity.replaceAll("-", " "),
    details.relation,
    details.child && `the child ${CHILD[details.child]}`,
    details.policy && `policy ${details.policy}`,
    details.basis,
    details.assessed && `assessed by ${details.assessed.by}: ${details.assessed.found}`,
  ].filter((each) => each);
  const reach = [
    requestId === null ? "all pictures of the patient" : null,
    frames === null ? null : `${frames.length} pictures`,
    person === null ? null : `portrayed: ${person}`,
    until === null ? null : `until ${until}`,
  ].filter((each) => each !== null);
  const lines = [
    `${id}  ${SCOPE_WORDS[scope]}${publication === null ? "" : `, ${publication}`}: ${answer.answer}`,
    `  ${givenAt} by ${givenBy} (${capacityWords.join("; ")}), taken by ${takenBy}, ${details.how}, wording ${wordingVersion}`,
    ...(reach.length === 0 ? [] : [`  ${reach.join("; ")}`]),
    ...(withdrawn === null ? [] : [`  withdrawn ${withdrawnAt} by ${withdrawn.by}: ${withdrawn.because}`]),
  ];
  return lines.map(indented);
}

const CHILD = { agrees: "agrees", disagrees: "does not agree", "cannot-say": "cannot say yet" } as const;

/** For the person who has to write. */
export function wentOutText(wentOut: readonly WentOut[]): string[] {
  if (wentOut.length === 0) return ["Nothing that this concerns has left the department."];
  return [
    "What has left and is not covered any more:",
    ...wentOut.flatMap(({ releaseId, to, scope, publication, files, leftAt, askBack, says }) => [
      `  ${leftAt.slice(0, 10)}  ${to}, for ${SCOPE_WORDS[scope]}${publication === null ? "" : ` (${publication})`}: ${files.length} ${files.length === 1 ? "file" : "files"}, release ${releaseId}`,
      `    ${askBack ? "Write to them. " : ""}${says}`,
    ]),
    ...(wentOut.some(({ askBack }) => askBack)
      ? ['When they have answered: samescale consent answered RELEASE --says "…"']
      : []),
  ];
}

export function recallsText(recalls: readonly Recall[]): string[] {
  if (recalls.length === 0) return ["Nobody has to be written to."];
  return recalls.flatMap(({ releaseId, to, scope, publication, leftAt, because, says, answered }) => [
    `${releaseId}  ${to}, for ${SCOPE_WORDS[scope]}${publication === null ? "" : ` (${publication})`}, sent ${leftAt.slice(0, 10)}`,
    `  ${because}.`,
    answered === null ? `  ${says}` : `  Answered ${answered.at.slice(0, 10)}: ${answered.says}`,
  ]);
}

export function tasksText(tasks: readonly ConsentTask[], on: string): string[] {
  if (tasks.length === 0) return [`Nothing has to be asked again on ${on}.`];
  return tasks.map(({ day, patient, request, says }) => {
    const of = [patient, request].filter((each) => each !== null).join(", ");
    return `${day ?? "now       "}  ${of === "" ? "" : `${of}: `}${says}.`;
  });
}
