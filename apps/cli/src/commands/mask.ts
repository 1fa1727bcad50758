import { readFile } from "node:fs/promises";
import { text as textOfStream } from "node:stream/consumers";
import {
  confirmMask,
  doneOrThrow,
  MASK_ANSWERS,
  MASK_QUESTIONS,
  type MaskAnswers,
  picturesOfRequest,
  proposeMask,
  requestByCode,
} from "@samescale/desk";
import type { Command } from "commander";
import { withPool } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { asThisPerson } from "../frame/with-desk.ts";
import { namedPictures } from "./release/named-pictures.ts";

interface InLibrary extends JsonOption {
  readonly library: string;
}

/** `samescale mask`: what must not be seen in a picture that leaves (docs/release.md). */
export function configure(command: Command): void {
  const sub = (name: string, says: string) =>
    libraryOption(command.command(name).description(says).argument("<code>", "code of the request")).option(
      "--json",
      "one JSON object on each line",
    );
  sub("list", "the pictures of a request, and who confirmed what of each").action(list);
  sub("look", "look for what may have to be masked; with --json: a sheet of questions to fill in")
    .option("--frames <names>", "file names or ids with commas; without: every picture of the request")
    .action(look);
  sub("confirm", "confirm what must not be seen, or that there is nothing")
    .requiredOption(
      "--answers <file>",
      "sheets as `look --json` prints them, filled in; - reads standard input",
    )
    .action(confirm);
}

function say(lines: readonly string[]): void {
  process.stdout.write(lines.map((line) => `${line}\n`).join(""));
}

async function list(code: string, options: InLibrary): Promise<void> {
  await asThisPerson(options, "read", async (desk, actor) => {
    const { id } = await requestByCode(desk, actor, code);
    for (const picture of await picturesOfRequest(desk, actor, id)) {
      const { mask, name, frameId, takenAt } = picture;
      const confirmed =
        mask === null
          ? "nobody has looked at it"
          : `${mask.areas.length === 0 ? "nothing to mask" : `${mask.areas.length} areas`}, ${mask.confirmedBy} on ${mask.confirmedAt.slice(0, 10)}`;
      say([
        options.json
          ? JSON.stringify(picture)
          : printable(`${name}  ${takenAt ?? "no time"}  ${confirmed}  ${frameId}`),
      ]);
    }
  });
}

async function look(code: string, options: InLibrary & { frames?: string }): Promise<void> {
  await asThisPerson(options, "open", async (desk, actor) => {
    const { id } = await requestByCode(desk, actor, code);
    const pictures = await namedPictures(desk, actor, id, options.frames);
    await withPool(1, async (pool) => {
      for (const { frameId } of pictures) {
        const { name, sha256, proposals } = doneOrThrow(await proposeMask(desk, actor, pool, frameId));
        const { areas, notLookedFor, widthPx, heightPx } = proposals;
        if (options.json) {
          const questions = Object.entries(MASK_QUESTIONS).map(([kind, asks]) => ({
            kind,
            asks,
            answer: null,
          }));
          const proposed = areas.map((area) => ({ ...area, say: null }));
          say([
            JSON.stringify({
              frameId,
              name,
              widthPx,
              heightPx,
              proposals: sha256,
              proposed,
              areas: [],
              questions,
              notLookedFor,
            }),
          ]);
        } else {
          const found = areas.map(({ kind, why, polygon }) => `  ${kind}: ${why}, at ${placeOf(polygon)}`);
          say(
            [
              `${name}, ${widthPx} x ${heightPx} px`,
              ...found,
              `  nobody looked for: ${notLookedFor.join(", ")}`,
            ].map(printable),
          );
        }
      }
    });
  });
}

function placeOf(polygon: readonly (readonly [number, number])[]): string {
  const mean = (axis: 0 | 1) =>
    Math.round(polygon.reduce((sum, point) => sum + point[axis], 0) / polygon.length);
  return `${mean(0)}, ${mean(1)}`;
}

/** A sheet as `look` prints it, filled in. */
interface Sheet {
  readonly frameId: string;
  readonly name?: string;
  readonly proposals: string;
  readonly proposed: readonly { readonly say: "cover" | "leave" }[];
  readonly areas: MaskAnswers["areas"];
  readonly questions: readonly { readonly kind: string; readonly answer: string }[];
}

async function confirm(code: string, options: InLibrary & { answers: string }): Promise<void> {
  const text =
    options.answers === "-" ? await textOfStream(process.stdin) : await readFile(options.answers, "utf8");
  const sheets = text
    .split("\n")
    .filter((line) => line.trim() !== "")
    .map(sheetOf);
  await asThisPerson(options, "open", async (desk, actor) => {
    const { id } = await requestByCode(desk, actor, code);
    const known = new Set((await picturesOfRequest(desk, actor, id)).map(({ frameId }) => frameId));
    for (const { frameId, name = frameId, proposals, proposed, areas, questions } of sheets) {
      if (!known.has(frameId))
        throw CommandFailure.badArguments(`${frameId} is no picture of ${code}`, "Check the sheet.");
      const answers = Object.fromEntries(questions.map(({ kind, answer }) => [kind, answer]));
      const said = proposed.map(({ say: each }) => each);
      const confirmed = doneOrThrow(
        await confirmMask(desk, actor, { frameId, proposals, proposed: said, areas, answers }),
      );
      const human = confirmed.areas === 0 ? "nothing to mask" : `${confirmed.areas} areas`;
      say([
        options.json
          ? JSON.stringify({ frameId, ...confirmed })
          : printable(`${name}: ${human}, confirmed by ${actor.name}.`),
      ]);
    }
  });
}

function sheetOf(line: string, i: number): Sheet {
  const wrong = () =>
    CommandFailure.badArguments(
      `Line ${i + 1} of the answers is no sheet as \`samescale mask look --json\` prints it`,
      `Fill "say" of each proposal in (cover, leave), and "answer" of each question (${MASK_ANSWERS.join(", ")}).`,
    );
  let sheet: Partial<Sheet> | null;
  try {
    sheet = JSON.parse(line) as Partial<Sheet> | null;
  } catch {
    throw wrong();
  }
  const isList = (value: unknown) =>
    Array.isArray(value) && value.every((each) => typeof each === "object" && each !== null);
  const { frameId, proposals, proposed, areas, questions } = sheet ?? {};
  const isSheet =
    [frameId, proposals].every((id) => typeof id === "string") && [proposed, areas, questions].every(isList);
  if (!isSheet) throw wrong();
  return sheet as Sheet;
}
