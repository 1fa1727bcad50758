import { readFile } from "node:fs/promises";
import type { AlignAnswer, AlignInput } from "@samescale/picture";
import type { Command } from "commander";
import { answerEach } from "../frame/answer-each.ts";
import { withPool } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface Options extends JsonOption {
  readonly points?: string;
}

/** `samescale align`: lays follow-ups over a baseline (contract in docs/commands.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(command)
    .argument("<baseline>", "the first photograph of the series")
    .argument("<followup...>", "later photographs of the same view")
    .option(
      "--points <file>",
      "points that a person matched: [[bx,by,fx,fy],…], at least 3 (one follow-up only)",
    )
    .action(async (baseline: string, followups: string[], options: Options) => {
      const points = options.points === undefined ? undefined : await pointsFrom(options.points);
      if (points && followups.length > 1) {
        throw CommandFailure.badArguments(
          `--points: expected one follow-up, received ${followups.length}`,
          "Points belong to one pair of photographs: align one follow-up per call.",
        );
      }
      exit(
        await withPool(followups.length, (pool) =>
          answerEach({
            inputs: followups,
            atOnce: pool.threads,
            json: options.json === true,
            run: (followup, signal) =>
              pool.run("align", { baseline, followup, ...(points ? { points } : {}) }, signal),
            identity: (followup) => ({ baseline, followup }),
            human: (answer) => humanAlign(answer as AlignAnswer),
          }),
        ),
      );
    });
}

type Points = NonNullable<AlignInput["points"]>;

/** A thousand points are more than anyone places by hand. */
const MOST_POINTS = 1000;

async function pointsFrom(file: string): Promise<Points> {
  let content: unknown;
  try {
    content = JSON.parse(await readFile(file, "utf8"));
  } catch (thrown) {
    if (thrown instanceof SyntaxError) throw badPoints(file, "it is not JSON");
    throw CommandFailure.from(thrown, file);
  }
  if (!Array.isArray(content) || content.length > MOST_POINTS) {
    throw badPoints(file, `expected a list of at most ${MOST_POINTS} points`);
  }
  return content.map((point: unknown, i) => {
    const numbers = Array.isArray(point) ? point : [];
    if (numbers.length !== 4 || !numbers.every((n) => typeof n === "number" && Number.isFinite(n))) {
      throw badPoints(file, `point ${i + 1} is not four numbers`);
    }
    return numbers as unknown as Points[number];
  });
}

function badPoints(file: string, what: string): CommandFailure {
  return CommandFailure.badArguments(
    `--points: ${what}: ${printable(file)}`,
    "Write [[bx,by,fx,fy],…]: each point's pixels in the baseline, then in the follow-up; at least 3.",
  );
}

function humanAlign(answer: AlignAnswer): string {
  const who = `${printable(answer.followup)} over ${printable(answer.baseline)}`;
  if (!answer.aligned) {
    return `${who}: not aligned: ${answer.reason}\n  Mark three or more points in both pictures and give them with --points.`;
  }
  const percent = (100 * (answer.scaleChange - 1)).toFixed(1);
  const larger =
    Math.abs(Number(percent)) === 0
      ? "at the same size"
      : answer.scaleChange > 1
        ? `${percent} % larger`
        : `${percent.slice(1)} % smaller`;
  const turn = Math.abs(answer.rotationDeg).toFixed(1);
  const lines = [
    `${who}: aligned on ${answer.matches} places, ${answer.residualPx.toFixed(1)} px apart on average`,
    `  the follow-up shows the subject ${larger}, turned ${turn}° ${answer.rotationDeg >= 0 ? "clockwise" : "anticlockwise"}, and covers ${Math.round(100 * answer.overlap)} % of the baseline`,
  ];
  for (const warning of answer.warnings) lines.push(`  ! ${warning}`);
  return lines.join("\n");
}
