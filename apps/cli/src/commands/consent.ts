import {
  answerRecall,
  consentsOf,
  consentTasks,
  doneOrThrow,
  giveConsent,
  namePortrayed,
  noteCapacityRegained,
  recallsOf,
  refuseConsent,
  requestByCode,
  unnamePortrayed,
  withdrawConsent,
} from "@samescale/desk";
import { CONSENT_SCOPES, type ConsentScope, SCOPE_WORDS, wordingFor } from "@samescale/practice";
import type { Command } from "commander";
import { day, dayOption, type JsonOption, libraryOption, oneOf, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { asThisPerson, sayAsAsked } from "../frame/with-desk.ts";
import { type AnswerOptions, answerFrom, answerOptions, patientNamed } from "./consent/answer-options.ts";
import { onRecordText, recallsText, tasksText, wentOutText } from "./consent/human.ts";

interface InLibrary extends JsonOption {
  readonly library: string;
  readonly practice?: string;
}

/** `samescale consent`: who may use which pictures for what (docs/consent.md). */
export function configure(command: Command): void {
  const sub = (name: string, says: string) =>
    libraryOption(practiceOption(command.command(name).description(says))).option(
      "--json",
      "one JSON object on each line",
    );
  sub("wording", "the text that is put to whoever is asked")
    .argument("[scope]", CONSENT_SCOPES.join(", "), oneOf("scope", CONSENT_SCOPES))
    .action(wording);
  sub("show", "what was answered for a request, and how far that reaches now")
    .argument("<code>", "code of the request")
    .action(show);
  answerOptions(sub("give", "write a yes down, with who gave it and in what capacity"))
    .option("--instead-of <id>", "a yes that reached further and that this one takes the place of")
    .action((scope: ConsentScope, options: InLibrary & AnswerOptions) => answer("give", scope, options));
  answerOptions(sub("refuse", "write a no down; what went out before is listed")).action(
    (scope: ConsentScope, options: InLibrary & AnswerOptions) => answer("refuse", scope, options),
  );
  sub("withdraw", "end a yes, and list what went out under it, to be asked back")
    .argument("<id>", "id of the consent, as `show` says it")
    .requiredOption("--by <name>", "who withdraws it")
    .option("--because <why>", "if they say so; nobody has to give a reason")
    .option("--at <time>", "when they said so, with its zone (without: now)")
    .action(withdraw);
  sub("recalls", "recipients who have to be written to")
    .option("--all", "those who have answered as well")
    .action(recalls);
  sub("answered", "write down what a recipient answered")
    .argument("<release>", "id of the release")
    .requiredOption("--says <text>", "deleted, still in print, no longer reachable")
    .action(answered);
  sub("tasks", "who must be asked again, and what ends soon")
    .addOption(dayOption("--on", "as of this day"))
    .action(tasks);
  sub("capacity", "a patient for whom others had decided can decide again")
    .argument("<number>", "the patient's number")
    .requiredOption("--on <day>", "from which day", day("--on"))
    .requiredOption("--assessed-by <name>", "who assessed it")
    .requiredOption("--found <text>", "what they found")
    .option("--authority <name>", "who gave the number, where several patients have it")
    .action(capacity);
  sub("portrayed", "name who can be seen on a non-clinical request: all of them must agree")
    .argument("<code>", "code of the request")
    .argument("<name>", "their name; of a room or a thing: who answers for it")
    .action(portrayed);
  sub("not-portrayed", "they were named by mistake")
    .argument("<id>", "as `show` says it")
    .requiredOption("--because <why>", "in your own words")
    .action(notPortrayed);
}

async function wording(scope: ConsentScope | undefined, options: InLibrary): Promise<void> {
  const { practice } = await practiceInUse(options);
  const texts = (scope === undefined ? CONSENT_SCOPES : [scope]).map(
    (each) => wordingFor(practice.consent, each) ?? { scope: each, version: null, text: null },
  );
  sayAsAsked(options, texts, (all) =>
    all.flatMap(({ scope: of, version, text }) =>
      text === null
        ? [`${of}: the practice has no wording, nobody can be asked`]
        : [`${of}, version ${version}`, `  ${text}`],
    ),
  );
}

async function show(code: string, options: InLibrary): Promise<void> {
  await asThisPerson(options, "read", async (desk, actor) => {
    const { id } = await requestByCode(desk, actor, code);
    sayAsAsked(options, doneOrThrow(await consentsOf(desk, actor, id)), onRecordText);
  });
}

async function answer(
  which: "give" | "refuse",
  scope: ConsentScope,
  options: InLibrary & AnswerOptions,
): Promise<void> {
  const { practice } = await practiceInUse(options);
  await asThisPerson(options, "open", async (desk, actor) => {
    const wanted = await answerFrom(desk, actor, scope, options, practice.consent);
    const act = which === "give" ? giveConsent : refuseConsent;
    sayAsAsked(options, doneOrThrow(await act(desk, actor, wanted)), ({ id, until, wentOut }) => [
      `${which === "give" ? "Given" : "Refused"}: ${SCOPE_WORDS[scope]}, consent ${id}${until === null ? "" : `, until ${until}`}.`,
      ...(which === "refuse" || options.insteadOf !== undefined ? wentOutText(wentOut) : []),
    ]);
  });
}

interface Withdrawn {
  readonly by: string;
  readonly because?: string;
  readonly at?: string;
}

async function withdraw(consentId: string, options: InLibrary & Withdrawn): Promise<void> {
  const { by, because, at } = options;
  await asThisPerson(options, "open", async (desk, actor) => {
    const withdrawal = {
      consentId,
      by,
      ...(because !== undefined && { because }),
      ...(at !== undefined && { at }),
    };
    const withdrawn = doneOrThrow(await withdrawConsent(desk, actor, withdrawal));
    sayAsAsked(options, withdrawn, ({ scope, wentOut }) => [
      `Withdrawn: ${SCOPE_WORDS[scope]}. Nothing leaves under it from now on.`,
      ...wentOutText(wentOut),
    ]);
  });
}

async function recalls(options: InLibrary & { readonly all?: true }): Promise<void> {
  await asThisPerson(options, "read", async (desk, actor) => {
    sayAsAsked(options, doneOrThrow(await recallsOf(desk, actor, options.all ? "all" : "open")), recallsText);
  });
}

async function answered(releaseId: string, options: InLibrary & { readonly says: string }): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    doneOrThrow(await answerRecall(desk, actor, { releaseId, says: options.says }));
    sayAsAsked(options, { releaseId, says: options.says }, () => [
      `Written down: release ${releaseId} is answered.`,
    ]);
  });
}

async function tasks(options: InLibrary & { readonly on: string }): Promise<void> {
  const { practice } = await practiceInUse(options);
  await asThisPerson(options, "read", async (desk, actor) => {
    sayAsAsked(options, doneOrThrow(await consentTasks(desk, actor, options.on, practice.consent)), (all) =>
      tasksText(all, options.on),
    );
  });
}

interface Capacity {
  readonly on: string;
  readonly assessedBy: string;
  readonly found: string;
  readonly authority?: string;
}

async function capacity(number: string, options: InLibrary & Capacity): Promise<void> {
  const { on, assessedBy, found, authority } = options;
  await asThisPerson(options, "open", async (desk, actor) => {
    const patientId = await patientNamed(desk, actor, number, authority);
    const noted = doneOrThrow(await noteCapacityRegained(desk, actor, { patientId, on, assessedBy, found }));
    sayAsAsked(options, noted, () => ["Written down. `consent tasks` says what the patient is to be asked."]);
  });
}

async function portrayed(code: string, name: string, options: InLibrary): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    const { id: requestId } = await requestByCode(desk, actor, code);
    const named = doneOrThrow(await namePortrayed(desk, actor, { requestId, name }));
    sayAsAsked(options, named, () => [`${name} is named: nothing of ${code} leaves without their yes.`]);
  });
}

async function notPortrayed(id: string, options: InLibrary & { readonly because: string }): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    doneOrThrow(await unnamePortrayed(desk, actor, { id, because: options.because }));
    sayAsAsked(options, { id }, () => ["They are not named any more; what they answered stays."]);
  });
}
