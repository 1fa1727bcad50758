import { readFile, stat } from "node:fs/promises";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { OutlineAnswer, OutlineRegion, XY } from "@samescale/picture";
import type { OutlineStep } from "@samescale/picture/outline";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, numbers } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface OutlineOptions extends JsonOption {
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
  readonly box?: [number, number, number, number];
  readonly rim: readonly XY[];
  readonly brush: readonly Dab[];
  readonly erase: readonly Dab[];
  readonly steps?: string;
}

/** One touch of the brush, and where in the command line it stood: dabs of both kinds are taken in their order. */
interface Dab {
  readonly at: XY;
  readonly radiusPx: number;
  readonly order: number;
}

/** More clicks than anyone makes; each one is worked through in turn. */
const MOST_CLICKS = 200;
/** Larger than any list of steps; a file of this size is something else. */
const MOST_BYTES = 4 * 2 ** 20;

/** `samescale outline PHOTO`: proposes an outline from a person's few clicks, or draws what they drew. */
export function configure(command: Command, exit: (code: number) => void): void {
  const dab = dabs();
  jsonOption(command)
    .argument("<photo>", "the photograph (after -- where its name begins with a dash)")
    .option("--inside <x,y>", "a point inside, in upright pixels; may be repeated", points("--inside"), [])
    .option("--outside <x,y>", "a point that is not inside; may be repeated", points("--outside"), [])
    .option(
      "--box <x0,y0,x1,y1>",
      "two opposite corners of a box that holds all of it",
      numbers("--box", ["x0", "y0", "x1", "y1"]),
    )
    .option(
      "--rim <x,y>",
      "a point on the rim; repeat it in order round the rim: the edge is followed between them",
      points("--rim"),
      [],
    )
    .option("--brush <x,y,r>", "add a disc of radius r to the inside; may be repeated", dab("--brush"), [])
    .option("--erase <x,y,r>", "take a disc of radius r away; may be repeated", dab("--erase"), [])
    .option("--steps <file>", "everything a person did, in order, as JSON; instead of all options above")
    .action(async (photo: string, options: OutlineOptions) => {
      const { json, inside, outside, box, steps: stepsFile } = options;
      const steps = stepsOf(options);
      const isPointed = inside.length > 0 || box !== undefined || steps.length > 0;
      if (stepsFile !== undefined && (isPointed || outside.length > 0)) {
        throw CommandFailure.badArguments(
          "--steps: expected alone, received other points with it",
          "Write all of them into the file of steps.",
        );
      }
      if (stepsFile === undefined && !isPointed) {
        throw CommandFailure.badArguments(
          "outline: expected a point inside, a box or points on the rim, received none of them",
          "Type for example --inside 812,440, near the middle of what is to be outlined.",
        );
      }
      exit(
        await answerPhotos({
          photos: [photo],
          json: json === true,
          run: async (file, pool, signal) => {
            const taken = stepsFile === undefined ? steps : await stepsFrom(stepsFile);
            const input = { file, inside, outside, ...(box && { box }), steps: taken };
            return await pool.run("outline", input, signal);
          },
          human: (answer) => humanOutline(answer as OutlineAnswer),
        }),
      );
    });
}

/** The rim first, then the brush, as a person would. */
function stepsOf({ rim, brush, erase }: OutlineOptions): OutlineStep[] {
  const path: OutlineStep[] = rim.length > 0 ? [{ do: "rim", points: rim, inside: true }] : [];
  const dabbed = [
    ...brush.map((d) => ({ ...d, inside: true })),
    ...erase.map((d) => ({ ...d, inside: false })),
  ]
    .toSorted((a, b) => a.order - b.order)
    .map(({ at, radiusPx, inside }): OutlineStep => ({ do: "brush", points: [at], radiusPx, inside }));
  return [...path, ...dabbed];
}

async function stepsFrom(file: string): Promise<OutlineStep[]> {
  const text = await textOf(file).catch((thrown) => {
    throw asSamescaleError(thrown, file);
  });
  const { stepsFromJson } = await import("@samescale/picture/outline");
  return stepsFromJson(parsed(text), file);
}

async function textOf(file: string): Promise<string> {
  if ((await stat(file)).size <= MOST_BYTES) return await readFile(file, "utf8");
  throw new SamescaleError(
    "INPUT_TOO_LARGE",
    `Expected at most ${MOST_BYTES / 2 ** 20} MiB: ${file}`,
    "Check that this is a list of steps.",
  );
}

/** Text that is no JSON is as little a list of steps as a number is. */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

const points = (flag: string) => {
  const parse = numbers(flag, ["x", "y"]);
  return (text: string, before: readonly XY[]): XY[] => [...fewEnough(flag, before), parse(text)];
};

const dabs = () => {
  let order = 0;
  return (flag: string) => {
    const parse = numbers(flag, ["x", "y", "r"]);
    return (text: string, before: readonly Dab[]): Dab[] => {
      const [x, y, radiusPx] = parse(text);
      return [...fewEnough(flag, before), { at: [x, y], radiusPx, order: order++ }];
    };
  };
};

function fewEnough<T>(flag: string, before: readonly T[]): readonly T[] {
  if (before.length < MOST_CLICKS) return before;
  throw CommandFailure.badArguments(
    `${flag}: more than ${MOST_CLICKS} of them`,
    "Draw the edge by hand where so many do not mend it.",
  );
}

function humanOutline({ file, regions, reason, seconds, warnings }: OutlineAnswer): string {
  const lines = regions.flatMap((region, i) => {
    const { left, right, top, bottom } = boundsOf(region.outline);
    const holes = region.holes.length;
    const hole = holes === 0 ? "" : `, ${holes} ${holes === 1 ? "hole" : "holes"}`;
    return [
      `  region ${i + 1}: ${(right - left).toFixed(0)} x ${(bottom - top).toFixed(0)} px about ${((left + right) / 2).toFixed(0)},${((top + bottom) / 2).toFixed(0)}${hole}`,
      ...doubtsOf(region),
    ];
  });
  const said = (warnings ?? []).map((warning) => `  ! ${printable(warning)}`);
  const head =
    regions.length === 0
      ? `${printable(file)}: nothing outlined. ${printable(reason ?? "")}`
      : `${printable(file)}: outlined in ${(seconds ?? 0).toFixed(2)} s (--json prints the points)`;
  return [head, ...lines, ...said].join("\n");
}

const SIDES = ["right", "lower right", "lower", "lower left", "left", "upper left", "upper", "upper right"];

/** "The edge is uncertain here", with where that is as seen in the picture. */
function doubtsOf({ outline, uncertain = [] }: OutlineRegion): string[] {
  const { left, right, top, bottom } = boundsOf(outline);
  return uncertain.map(({ fromIndex, toIndex, uPx }) => {
    const count = (toIndex - fromIndex + outline.length) % outline.length || outline.length;
    const share = count / outline.length;
    const [x, y] = outline[(fromIndex + (count >> 1)) % outline.length]!;
    const turn = Math.atan2(y - (top + bottom) / 2, x - (left + right) / 2) / (Math.PI / 4);
    const where = share > 0.9 ? "all round" : `on the ${SIDES[(Math.round(turn) + 8) % 8]} side`;
    return `    ! the edge is uncertain here: ${where}, ${(100 * share).toFixed(0)} % of the outline, by about ${uPx.toFixed(0)} px (one standard uncertainty); look closely or draw it`;
  });
}

function boundsOf(ring: readonly XY[]) {
  const [xs, ys] = [ring.map(([x]) => x), ring.map(([, y]) => y)];
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}
