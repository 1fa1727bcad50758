import type { OutlineAnswer, XY } from "@samescale/picture";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, numbers } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface OutlineOptions extends JsonOption {
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
  readonly box?: [number, number, number, number];
}

/** More clicks than anyone makes; each one is worked through in turn. */
const MOST_CLICKS = 200;

/** `samescale outline PHOTO`: proposes an outline from a person's few clicks. */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(command)
    .argument("<photo>", "the photograph (after -- where its name begins with a dash)")
    .option("--inside <x,y>", "a point inside, in upright pixels; may be repeated", points("--inside"), [])
    .option("--outside <x,y>", "a point that is not inside; may be repeated", points("--outside"), [])
    .option(
      "--box <x0,y0,x1,y1>",
      "two opposite corners of a box that holds all of it",
      numbers("--box", ["x0", "y0", "x1", "y1"]),
    )
    .action(async (photo: string, { json, inside, outside, box }: OutlineOptions) => {
      if (inside.length === 0 && !box) {
        throw CommandFailure.badArguments(
          "outline: expected a point inside or a box, received neither",
          "Type for example --inside 812,440, near the middle of what is to be outlined.",
        );
      }
      exit(
        await answerPhotos({
          photos: [photo],
          json: json === true,
          run: (file, pool, signal) =>
            pool.run("outline", { file, inside, outside, ...(box && { box }) }, signal),
          human: (answer) => humanOutline(answer as OutlineAnswer),
        }),
      );
    });
}

const points = (flag: string) => {
  const parse = numbers(flag, ["x", "y"]);
  return (text: string, before: readonly XY[]): XY[] => {
    if (before.length === MOST_CLICKS) {
      throw CommandFailure.badArguments(
        `${flag}: more than ${MOST_CLICKS} points`,
        "Draw the edge by hand where so many points do not mend it.",
      );
    }
    return [...before, parse(text)];
  };
};

function humanOutline({ file, regions, reason, seconds, warnings }: OutlineAnswer): string {
  const lines = regions.map(({ outline, holes }, i) => {
    const xs = outline.map(([x]) => x);
    const ys = outline.map(([, y]) => y);
    const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const hole = holes.length === 0 ? "" : `, ${holes.length} ${holes.length === 1 ? "hole" : "holes"}`;
    return `  region ${i + 1}: ${(right - left).toFixed(0)} x ${(bottom - top).toFixed(0)} px about ${((left + right) / 2).toFixed(0)},${((top + bottom) / 2).toFixed(0)}${hole}`;
  });
  const said = (warnings ?? []).map((warning) => `  ! ${printable(warning)}`);
  const head =
    regions.length === 0
      ? `${printable(file)}: nothing outlined. ${printable(reason ?? "")}`
      : `${printable(file)}: outlined in ${(seconds ?? 0).toFixed(2)} s (--json prints the points)`;
  return [head, ...lines, ...said].join("\n");
}
