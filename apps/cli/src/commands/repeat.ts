import { join } from "node:path";
import {
  type GhostFiles,
  makeGhosts,
  openDesk,
  type Repeat,
  repeatRequest,
  requestByCode,
} from "@samescale/desk";
import { formatRatio } from "@samescale/optics";
import type { RefusedView, RepeatedView, RepeatWishes } from "@samescale/practice";
import type { Command } from "commander";
import { withPool } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { between, day, type JsonOption, libraryOption, oneOf, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { printable } from "../frame/printable.ts";
import { thisPerson } from "../frame/this-person.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly practice?: string;
  readonly visit?: string;
  readonly body?: string;
  readonly lens?: string;
  readonly place?: string;
  readonly freeM?: number;
  readonly keep?: "field" | "ratio";
  readonly ghosts?: string;
  readonly save?: true;
}

/** `samescale repeat REQUEST`: the next visit planned from what was really done (docs/repeat.md). */
export function configure(command: Command): void {
  libraryOption(practiceOption(command.argument("<request>", "code of the request")))
    .option(
      "--visit <day>",
      "the visit that rules (without: the baseline, the first picture kept of each view)",
      day("--visit"),
    )
    .option("--body <id>", "another camera body of the register (without: the one of then)")
    .option("--lens <id>", "another lens for every view (without: the one of then)")
    .option(
      "--keep <what>",
      "on another sensor: field (without) or ratio",
      oneOf("--keep", ["field", "ratio"]),
    )
    .option("--place <key>", "where the pictures are made (without: as planned before)")
    .option(
      "--free-m <m>",
      "free length there, in metres, where it is not the usual one",
      between("--free-m", 0.2, 100),
    )
    .option(
      "--ghosts <folder>",
      "write ghosts and framings of the pictures that are repeated into a new folder",
    )
    .option("--save", "keep the plan as the request's newest revision; otherwise it is only shown")
    .option("--json", "one JSON object on one line")
    .action(async (code: string, options: Options) => {
      process.stdout.write(`${await answer(code, options)}\n`);
    });
}

async function answer(code: string, options: Options): Promise<string> {
  const { library, visit, ghosts: folder, save, json } = options;
  const desk = await openDesk(library, { mode: save || folder !== undefined ? "open" : "read" });
  try {
    const actor = await thisPerson(desk);
    const { id: requestId } = await requestByCode(desk, actor, code);
    const { practice } = await practiceInUse(options);
    return await withPool(Number.POSITIVE_INFINITY, async (pool) => {
      const wanted = {
        requestId,
        ...(visit !== undefined && { date: visit }),
        wishes: wishesOf(options),
        ...(save && { save }),
      };
      const outcome = await repeatRequest(desk, actor, pool, wanted, practice);
      if (!outcome.done) throw refused(outcome.reason);
      const repeat = outcome.value;
      const ghosts =
        folder === undefined
          ? null
          : await makeGhosts(desk, actor, pool, { requestId, repeat, practice, folder });
      if (ghosts !== null && !ghosts.done) throw refused(ghosts.reason);
      const files = ghosts?.value ?? null;
      if (!json) return printableLines(repeatText(code, repeat, files, folder ?? ""));
      const { plan, notes, revision } = repeat;
      return JSON.stringify({
        request: code,
        ...plan,
        notes,
        revision,
        ghosts: files && { folder, views: Object.fromEntries(files) },
      });
    });
  } finally {
    await desk.close();
  }
}

const refused = (reason: string) =>
  CommandFailure.badArguments(reason, "Nothing was kept; docs/repeat.md says what a repeat plan needs.");

const wishesOf = ({ place, freeM, body, lens, keep }: Options): RepeatWishes => ({
  ...(place !== undefined && { place }),
  ...(freeM !== undefined && { freeMm: 1000 * freeM }),
  ...(body !== undefined && { body }),
  ...(lens !== undefined && { lens }),
  ...(keep !== undefined && { keep }),
});

/** Names of files and notes of people are in it. */
const printableLines = (text: string): string => text.split("\n").map(printable).join("\n");

/** For a person: what to set and where to stand first; then what was different, and what is known of the light. */
function repeatText(
  code: string,
  { plan, notes, revision }: Repeat,
  ghosts: ReadonlyMap<string, GhostFiles> | null,
  folder: string,
): string {
  const { viewSet, place, repeats, views, refused: cannot, minutes } = plan;
  const head = [
    `${code}, ${viewSet.name} · ${place.name}, ${(place.freeMm / 1000).toFixed(2)} m free · about ${Math.ceil(minutes)} minutes`,
    repeats.says,
    repeats.bodySays,
    ...notes,
    ...unique(views.flatMap(({ cautions }) => cautions)).map((says) => `! ${says}`),
  ];
  const files = (view: RepeatedView): string[] => {
    const made = ghosts?.get(view.view.key);
    return made ? [join(folder, made.ghost), join(folder, made.framing)] : [];
  };
  const warnings = views.flatMap((view) => view.warnings);
  const shared = unique(warnings.filter((says, i) => warnings.indexOf(says) !== i));
  const blocks = views.map((view, i) => viewBlock(view, i + 1, shared, files(view)).join("\n"));
  const end =
    revision === null
      ? "Only shown: --save keeps it as the request's plan."
      : `Kept as the request's plan, revision ${revision}.`;
  const pictures = ghosts ? [`Ghosts show the patient: delete ${folder} when they have served.`] : [];
  const last = [...shared.map((says) => `Mind: ${says}`), ...pictures, end];
  return [head.join("\n"), ...blocks, ...cannot.map(refusedBlock), last.join("\n")].join("\n\n");
}

const unique = (says: readonly string[]): string[] => [...new Set(says)];

function viewBlock(
  planned: RepeatedView,
  number: number,
  saidOnce: readonly string[],
  files: readonly string[],
): string[] {
  const { view, repeats, magnification, lens, barrel, fNumber, fieldMm, camera } = planned;
  const field = `Field ${mm(fieldMm.width)} × ${mm(fieldMm.height)} mm, ${view.orientation}.`;
  const warnings = planned.warnings.filter((says) => !saidOnce.includes(says));
  return [
    `${number}  ${formatRatio(magnification)}  ${view.name}`,
    ...row("Set", `${lens.name}. ${barrel} f/${fNumber}. ${field}`),
    ...row("Stand", camera),
    ...(repeats === null ? [] : repeatRows(repeats, planned)),
    ...row("Mind", ...warnings),
    ...row("Or", ...(repeats?.alternatives ?? [])),
    ...row("Ghost", ...files),
  ];
}

function repeatRows(
  { frame, says, strayed, faults, light, framing, converted }: NonNullable<RepeatedView["repeats"]>,
  { view, reasons }: RepeatedView,
): string[] {
  const from = `${frame.name} of ${frame.date ?? "an unknown day"}`;
  const landmarks = view.landmarks.length > 0 ? [`${view.landmarks.join("; ")}.`] : [];
  return [
    ...row(
      "Then",
      `${from}: ${says}.${strayed.length === 0 ? " As planned." : ""}`,
      ...strayed.map((one) => one.says),
    ),
    ...row("But", ...faults),
    ...row("Frame", ...(framing.length > 0 ? [framing.join(" ")] : []), ...landmarks),
    ...row("Light", ...light.known, ...light.notKnown),
    ...row("Why", ...reasons, ...(converted === null ? [] : [converted])),
  ];
}

/** The word once, its sentences below each other. */
const row = (word: string, ...says: readonly string[]): string[] =>
  says.map((one, i) => `   ${(i === 0 ? word : "").padEnd(6)} ${one}`);

const refusedBlock = ({ view, reason, alternatives }: RefusedView): string =>
  [
    `×  ${view.name} cannot be made as it was. ${reason}`,
    ...alternatives.map((says, i) => `   ${i + 1}. ${says}`),
  ].join("\n");

const mm = (value: number): string => (value >= 20 ? String(Math.round(value)) : value.toFixed(1));
