import {
  type Actor,
  CHILDS_WORDS,
  type Desk,
  doneOrThrow,
  framesNamed,
  type Giver,
  type NewAnswer,
  patientsByNumber,
  requestByCode,
} from "@samescale/desk";
import {
  CONSENT_CAPACITIES,
  CONSENT_SCOPES,
  type ConsentCapacity,
  type ConsentRules,
  type ConsentScope,
} from "@samescale/practice";
import type { Command } from "commander";
import { CommandFailure } from "../../frame/failure.ts";
import { day, oneOf } from "../../frame/options.ts";
import { printable } from "../../frame/printable.ts";

/** What is said of an answer on the command line. */
export interface AnswerOptions {
  readonly request?: string;
  readonly patient?: string;
  readonly authority?: string;
  readonly person?: string;
  readonly capacity: ConsentCapacity;
  readonly by?: string;
  readonly relation?: string;
  readonly child?: (typeof CHILDS_WORDS)[number];
  readonly policy?: string;
  readonly basis?: string;
  readonly askAgain?: string;
  readonly publication?: string;
  readonly frame: readonly string[];
  readonly until?: string;
  readonly at?: string;
  readonly takenBy?: string;
  readonly assessedBy?: string;
  readonly found?: string;
  readonly spoken?: true;
  readonly insteadOf?: string;
}

export function answerOptions(command: Command): Command {
  const again = (text: string, before: readonly string[]) => [...before, text];
  return command
    .argument("<scope>", CONSENT_SCOPES.join(", "), oneOf("scope", CONSENT_SCOPES))
    .option("--request <code>", "for the pictures of this request")
    .option("--patient <number>", "for all pictures of this patient, later ones as well")
    .option("--authority <name>", "who gave the number, where several patients have it")
    .option("--person <name>", "on a non-clinical request: who of those portrayed answers")
    .option(
      "--capacity <word>",
      CONSENT_CAPACITIES.join(", "),
      oneOf("--capacity", CONSENT_CAPACITIES),
      "patient",
    )
    .option("--by <name>", "who answers, where it is not the patient")
    .option("--relation <word>", "parental responsibility: what they are to the child")
    .option("--child <word>", `the child: ${CHILDS_WORDS.join(", ")}`, oneOf("--child", CHILDS_WORDS))
    .option("--policy <name>", "best interest: under which policy")
    .option("--ask-again <day>", "best interest: from which day on to ask the patient", day("--ask-again"))
    .option("--basis <text>", "legal basis: which")
    .option("--assessed-by <name>", "who assessed whether the person can decide")
    .option("--found <text>", "what they found")
    .option("--publication <name>", "the very publication")
    .option("--frame <name>", "only this picture; again for each", again, [])
    .option("--until <day>", "last day", day("--until"))
    .option("--at <time>", "when they answered, with its zone (without: now)")
    .option("--taken-by <name>", "who took the answer (without: whoever types)")
    .option("--spoken", "said, not signed");
}

export async function answerFrom(
  desk: Desk,
  actor: Actor,
  scope: ConsentScope,
  options: AnswerOptions,
  rules: ConsentRules,
): Promise<NewAnswer> {
  const { assessedBy, found, publication, frame, until, at, takenBy, spoken, insteadOf } = options;
  if ((assessedBy === undefined) !== (found === undefined)) {
    throw CommandFailure.badArguments(
      "--assessed-by and --found belong together",
      'Add both, for example --assessed-by "Dr Example" --found "understands what it is for".',
    );
  }
  const of = await subjectFrom(desk, actor, options);
  const frames =
    frame.length > 0 && "requestId" in of
      ? doneOrThrow(await framesNamed(desk, actor, of.requestId, frame))
      : frame;
  return {
    of,
    scope,
    by: giverFrom(options),
    rules,
    how: spoken ? "spoken" : "written",
    ...(frames.length > 0 && { frames }),
    ...(publication !== undefined && { publication }),
    ...(until !== undefined && { until }),
    ...(at !== undefined && { givenAt: at }),
    ...(takenBy !== undefined && { takenBy }),
    ...(insteadOf !== undefined && { insteadOf }),
    ...(assessedBy !== undefined && found !== undefined && { assessed: { by: assessedBy, found } }),
  };
}

async function subjectFrom(
  desk: Desk,
  actor: Actor,
  { request, patient, authority, person }: AnswerOptions,
): Promise<NewAnswer["of"]> {
  if ((request === undefined) === (patient === undefined)) {
    throw CommandFailure.badArguments(
      "An answer is for a request or for all pictures of a patient",
      "Add --request CODE or --patient NUMBER, one of them.",
    );
  }
  if (request !== undefined) {
    const { id: requestId } = await requestByCode(desk, actor, request);
    return { requestId, ...(person !== undefined && { person }) };
  }
  return { patientId: await patientNamed(desk, actor, patient ?? "", authority) };
}

/** @throws CommandFailure when no patient, or more than one, has the number */
export async function patientNamed(
  desk: Desk,
  actor: Actor,
  number: string,
  authority: string | undefined,
): Promise<string> {
  const known = (await patientsByNumber(desk, actor, number)).filter(
    (patient) => authority === undefined || patient.authority === authority,
  );
  const [patient] = known;
  if (patient && known.length === 1) return patient.id;
  throw CommandFailure.badArguments(
    `${printable(number)} is the number of ${known.length === 0 ? "no patient" : `${known.length} patients`} here`,
    known.length === 0
      ? "Check the number."
      : `Add --authority with one of ${known.map((one) => printable(one.authority)).join(", ")}.`,
  );
}

function giverFrom(options: AnswerOptions): Giver {
  const { capacity, askAgain = null } = options;
  const needed = (flag: string, value: string | undefined): string => {
    if (value !== undefined) return value;
    throw CommandFailure.badArguments(
      `--capacity ${capacity} needs ${flag}`,
      `Add ${flag}; docs/consent.md says who may answer and what is written down.`,
    );
  };
  switch (capacity) {
    case "patient":
      if (options.by === undefined) return { capacity };
      throw CommandFailure.badArguments(
        "--by names somebody who answers for the patient",
        "Say in what capacity with --capacity, or leave --by out.",
      );
    case "parental-responsibility":
      return {
        capacity,
        name: needed("--by", options.by),
        relation: needed("--relation", options.relation),
        child: needed("--child", options.child) as (typeof CHILDS_WORDS)[number],
      };
    case "best-interest":
      return {
        capacity,
        name: needed("--by", options.by),
        policy: needed("--policy", options.policy),
        askAgainOn: askAgain,
      };
    case "legal-basis":
      return { capacity, name: needed("--by", options.by), basis: needed("--basis", options.basis) };
  }
}
