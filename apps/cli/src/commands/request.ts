import { readFile } from "node:fs/promises";
import { text as textOfStream } from "node:stream/consumers";
import {
  type Actor,
  addPatient,
  addRequest,
  cancelRequest,
  changeRequest,
  closeRequest,
  type Desk,
  doneOrThrow,
  listRequests,
  type OrderLine,
  PRIORITIES,
  type Priority,
  patientsByNumber,
  reopenRequest,
  requestAsked,
  requestByCode,
  type SensitiveCategory,
  takeOrders,
} from "@samescale/desk";
import type { Command } from "commander";
import { CATEGORIES_SAID, categories } from "../frame/categories.ts";
import { CommandFailure } from "../frame/failure.ts";
import { day, type JsonOption, libraryOption, oneOf, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";
import { streamLines } from "../frame/stream-lines.ts";
import { asThisPerson } from "../frame/with-desk.ts";
import { listText, orderText, wholeText } from "./request/human.ts";

interface InLibrary extends JsonOption {
  readonly library: string;
}

/** `samescale request`: what clinicians ask for (docs/requests.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  const sub = (name: string, says: string) =>
    libraryOption(command.command(name).description(says)).option("--json", "one JSON object on each line");
  sub("list", "what is open, what is due first in front")
    .option("--state <state>", "open, done or cancelled", oneOf("--state", STATES), "open")
    .action(list);
  sub("show", "one request as it was asked for").argument("<code>", "code of the request").action(show);
  sub("add", "fill a request in by hand; without a patient it is a non-clinical one")
    .option("--patient <number>", "the patient's number")
    .option("--authority <name>", "who gave the number")
    .option("--name <name>", "of a patient who is not in the library yet")
    .option("--born <day>", "date of birth of a patient who is not in the library yet", day("--born"))
    .option("--part <text>", "part with its side, such as left.foot or sacrum; again for each", each, [])
    .option("--purpose <text>", "what the pictures are for")
    .option("--place <text>", "ward or clinic")
    .option("--requester <name>", "who asks")
    .option("--due <day>", "by when", day("--due"))
    .option("--priority <word>", PRIORITIES.join(", "), oneOf("--priority", PRIORITIES))
    .option("--sensitive <categories>", `few may see it: ${CATEGORIES_SAID}`, categories("--sensitive"))
    .option("--details <file>", "everything else, as JSON (docs/requests.md); - reads standard input")
    .action(add);
  sub("change", "ask for something else; what stood there before stays in the log")
    .argument("<code>", "code of the request")
    .option("--due <day>", "by when", day("--due"))
    .option("--priority <word>", PRIORITIES.join(", "), oneOf("--priority", PRIORITIES))
    .option("--details <file>", "fields to replace, as JSON; null takes one out; - reads standard input")
    .action(change);
  for (const [name, says, act] of ENDS) {
    sub(name, says)
      .argument("<code>", "code of the request")
      .requiredOption("--because <why>", "in your own words")
      .action((code: string, options: InLibrary & { because: string }) =>
        asThisPerson(options, "open", async (desk, actor) => {
          const { id: requestId } = await requestByCode(desk, actor, code);
          doneOrThrow(await act(desk, actor, { requestId, because: options.because }));
          process.stdout.write(
            options.json ? `${JSON.stringify({ code, done: name })}\n` : `${code}: ${name}.\n`,
          );
        }),
      );
  }
  practiceOption(sub("orders", "take orders of other systems in: FHIR R4 or HL7 version 2 files"))
    .argument("<file...>", "files; they are only read, and taken in again they change nothing")
    .action(async (files: string[], options: InLibrary & { practice?: string }) =>
      exit(await orders(files, options)),
    );
}

const STATES = ["open", "done", "cancelled"] as const;
const ENDS = [
  ["cancel", "called off: nothing more is made or released", cancelRequest],
  ["close", "everything that was asked for has been made", closeRequest],
  ["reopen", "cancelled or closed by mistake", reopenRequest],
] as const;

const each = (text: string, before: readonly string[]): readonly string[] => [...before, text];

async function list(options: InLibrary & { readonly state: (typeof STATES)[number] }): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    const requests = await listRequests(desk, actor, options.state);
    const lines = options.json
      ? requests.map((request) => JSON.stringify(request))
      : listText(requests, options.state);
    process.stdout.write(lines.map((line) => `${line}\n`).join(""));
  });
}

async function show(code: string, options: InLibrary): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    await requestByCode(desk, actor, code); // says what is wrong with the code
    const request = await requestAsked(desk, actor, code);
    if (request) process.stdout.write(`${options.json ? JSON.stringify(request) : wholeText(request)}\n`);
  });
}

interface Filled extends InLibrary {
  readonly patient?: string;
  readonly authority?: string;
  readonly name?: string;
  readonly born?: string;
  readonly part: readonly string[];
  readonly purpose?: string;
  readonly place?: string;
  readonly requester?: string;
  readonly due?: string;
  readonly priority?: Priority;
  readonly sensitive?: readonly SensitiveCategory[];
  readonly details?: string;
}

async function add(options: Filled): Promise<void> {
  const { part, purpose, place, requester, due, priority, sensitive = [] } = options;
  const details = {
    ...(await detailsOf(options.details)),
    ...(part.length > 0 && { parts: part.map(partOf) }),
    ...(purpose !== undefined && { purpose }),
    ...(place !== undefined && { place }),
    ...(requester !== undefined && { requester }),
  };
  await asThisPerson(options, "open", async (desk, actor) => {
    const patientId =
      options.patient === undefined ? null : await patientFor(desk, actor, options.patient, options);
    const kind = patientId === null ? "non-clinical" : "clinical";
    const asked = { dueDate: due ?? null, priority: priority ?? null, sensitive, details };
    const request = { patientId, kind, ...asked } as const;
    const added = doneOrThrow(await addRequest(desk, actor, request));
    process.stdout.write(options.json ? `${JSON.stringify(added)}\n` : `Request ${added.code} is open.\n`);
  });
}

/** `left.foot`, or a part without a side. */
function partOf(text: string): object {
  const [, side, part] = /^(left|right|both)\.(.+)$/.exec(text) ?? [];
  return part === undefined ? { part: text } : { part, side };
}

async function patientFor(desk: Desk, actor: Actor, number: string, filled: Filled): Promise<string> {
  const { authority, name, born = null } = filled;
  const known = (await patientsByNumber(desk, actor, number)).filter(
    (patient) => authority === undefined || patient.authority === authority,
  );
  if (known.length > 1) {
    throw CommandFailure.badArguments(
      `${printable(number)} is the number of ${known.length} patients, given by ${known.map((one) => printable(one.authority)).join(" and ")}`,
      "Add --authority NAME.",
    );
  }
  const [patient] = known;
  if (patient) return patient.id;
  if (authority === undefined || name === undefined) {
    throw CommandFailure.badArguments(
      `The library has no patient ${printable(number)}`,
      "Check the number, or add --authority, --name and --born to make the patient known.",
    );
  }
  return doneOrThrow(await addPatient(desk, actor, { number, authority, name, birthDate: born })).id;
}

interface Changed extends InLibrary {
  readonly due?: string;
  readonly priority?: Priority;
  readonly details?: string;
}

async function change(code: string, options: Changed): Promise<void> {
  const { due, priority } = options;
  const details = await detailsOf(options.details);
  await asThisPerson(options, "open", async (desk, actor) => {
    const { id: requestId } = await requestByCode(desk, actor, code);
    const change = {
      requestId,
      details,
      ...(due !== undefined && { dueDate: due }),
      ...(priority !== undefined && { priority }),
    };
    doneOrThrow(await changeRequest(desk, actor, change));
    process.stdout.write(
      options.json ? `${JSON.stringify({ code, done: "change" })}\n` : `${code}: changed.\n`,
    );
  });
}

async function detailsOf(file: string | undefined): Promise<Record<string, unknown>> {
  if (file === undefined) return {};
  const text = await textOf(file);
  const value = parsed(text);
  if (typeof value === "object" && value !== null && !Array.isArray(value))
    return value as Record<string, unknown>;
  throw CommandFailure.badArguments(
    `--details: ${printable(file)} holds no JSON object`,
    'Write for example {"purpose": "before skin graft", "cautions": [{"kind": "latex"}]}; docs/requests.md lists the fields.',
  );
}

async function textOf(file: string): Promise<string> {
  try {
    return file === "-" ? await textOfStream(process.stdin) : await readFile(file, "utf8");
  } catch (thrown) {
    throw CommandFailure.from(thrown, file);
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

async function orders(files: readonly string[], options: InLibrary & { practice?: string }): Promise<number> {
  const { practice } = await practiceInUse(options);
  let unread = 0;
  const status = await asThisPerson(options, "open", (desk, actor) =>
    streamLines<OrderLine>({
      async *lines() {
        for await (const line of takeOrders(desk, actor, files, practice)) {
          if ("error" in line) unread++;
          yield line;
        }
      },
      json: options.json === true,
      human: orderText,
      clearProgress() {},
    }),
  );
  return status !== 0 ? status : unread > 0 ? 1 : 0;
}
