import {
  addResearchProject,
  checkReleased,
  doneOrThrow,
  RELEASE_FORMS,
  type ReleaseForm,
  releasedFolderOf,
  releaseOut,
  releasesOf,
  requestByCode,
} from "@samescale/desk";
import { CONSENT_SCOPES, type ConsentScope } from "@samescale/practice";
import type { Command } from "commander";
import { withPool } from "../frame/answer-photos.ts";
import { day, type JsonOption, libraryOption, oneOf } from "../frame/options.ts";
import { asThisPerson, sayAsAsked } from "../frame/with-desk.ts";
import { checkText, refusalLines, releaseLine, releaseText } from "./release/human.ts";
import { namedPictures } from "./release/named-pictures.ts";

interface InLibrary extends JsonOption {
  readonly library: string;
}

interface OutOptions extends InLibrary {
  readonly scope: ConsentScope;
  readonly to: string;
  readonly purpose: string;
  readonly frames?: string;
  readonly as: string;
  readonly publication?: string;
  readonly project?: string;
  readonly until?: string;
  readonly into?: string;
  readonly folder?: string;
}

const FORMS: Readonly<Record<string, ReleaseForm>> = Object.fromEntries(
  RELEASE_FORMS.map((form) => [form.name, form]),
);

/** `samescale release`: the one way out of a library (docs/release.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  const sub = (name: string, says: string) =>
    libraryOption(command.command(name).description(says)).option("--json", "one JSON object on each line");
  sub("out", "let pictures of a request leave")
    .argument("<code>", "code of the request")
    .requiredOption("--scope <scope>", CONSENT_SCOPES.join(", "), oneOf("--scope", CONSENT_SCOPES))
    .requiredOption("--to <name>", "who receives it")
    .requiredOption("--purpose <text>", "what it is for, in words")
    .option("--frames <names>", "file names or ids with commas; without: every picture of the request")
    .option("--as <form>", Object.keys(FORMS).join(", "), oneOf("--as", Object.keys(FORMS)), "pictures")
    .option("--publication <name>", "the very publication")
    .option("--project <name>", "the research project")
    .option("--until <day>", "last day of use", day("--until"))
    .option("--into <folder>", "folder of everything released (without: released, beside the library)")
    .option("--folder <name>", "name below it (without: the release's mark)")
    .action(async (code: string, options: OutOptions) => exit(await out(code, options)));
  sub("list", "what left, to whom, and what became of it")
    .option("--request <code>", "of this request only")
    .option("--frame <id>", "what shows this frame")
    .action(list);
  sub("show", "one release with its receipt").argument("<id>", "id of the release").action(show);
  sub("check", "hash a released folder again, against its receipt and the custody log")
    .argument("<folder>", "a folder that left")
    .option("--without-library", "against the receipts alone")
    .action(async (folder: string, options: InLibrary & { withoutLibrary?: true }) =>
      exit(await check(folder, options)),
    );
  sub("project", "add a research project: its patients get codes of its own (the lead)")
    .argument("<name>", "as it will be named")
    .action(project);
}

async function out(code: string, options: OutOptions): Promise<number> {
  return asThisPerson(options, "open", async (desk, actor) => {
    const { id: requestId } = await requestByCode(desk, actor, code);
    const frames = await namedPictures(desk, actor, requestId, options.frames);
    const { scope, to, purpose, publication = null, project: named = null, until = null, folder } = options;
    const wanted = {
      requestId,
      frames: frames.map(({ frameId }) => frameId),
      scope,
      to,
      purpose,
      publication,
      project: named,
      expiresOn: until,
      ...(folder !== undefined && { folder }),
    };
    const releasedFolder = options.into ?? releasedFolderOf(options.library);
    const form = FORMS[options.as]!;
    const outcome = await withPool(1, (pool) =>
      releaseOut(desk, actor, wanted, { pool, form, releasedFolder }),
    );
    if (outcome.done)
      sayAsAsked(options, { released: true, ...outcome.value }, (done) => releaseText(done, releasedFolder));
    else
      sayAsAsked(options, { released: false, refusals: outcome.refusals }, ({ refusals }) =>
        refusalLines(refusals),
      );
    return outcome.done ? 0 : 1;
  });
}

async function list(options: InLibrary & { request?: string; frame?: string }): Promise<void> {
  await asThisPerson(options, "read", async (desk, actor) => {
    const { request, frame } = options;
    const requestId = request === undefined ? undefined : (await requestByCode(desk, actor, request)).id;
    const known = await releasesOf(desk, actor, {
      ...(requestId !== undefined && { requestId }),
      ...(frame !== undefined && { frameId: frame }),
    });
    sayAsAsked(options, known, (all) => (all.length === 0 ? ["Nothing has left."] : all.map(releaseLine)));
  });
}

async function show(id: string, options: InLibrary): Promise<void> {
  await asThisPerson(options, "read", async (desk, actor) => {
    const known = await releasesOf(desk, actor, { releaseId: id });
    sayAsAsked(options, known, (all) =>
      all.length === 0
        ? [`There is no release ${id}.`]
        : all.flatMap((one) => [
            releaseLine(one),
            ...one.receipt.rules,
            ...one.items.map(({ name, sha256 }) => `${sha256}  ${name}`),
          ]),
    );
  });
}

async function check(folder: string, options: InLibrary & { withoutLibrary?: true }): Promise<number> {
  const found = options.withoutLibrary
    ? await checkReleased(folder, null)
    : await asThisPerson(options, "read", (desk) => checkReleased(folder, desk));
  sayAsAsked(options, found, checkText);
  return found.faults.length === 0 ? 0 : 1;
}

async function project(name: string, options: InLibrary): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    const { id } = doneOrThrow(await addResearchProject(desk, actor, { name }));
    sayAsAsked(options, { id, name }, () => [`${name} is a research project of this library.`]);
  });
}
