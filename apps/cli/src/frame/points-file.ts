import { readFile } from "node:fs/promises";
import type { AlignInput } from "@samescale/picture";
import { CommandFailure } from "./failure.ts";
import { printable } from "./printable.ts";

type Points = NonNullable<AlignInput["points"]>;

/** A thousand points are more than anyone places by hand. */
const MOST_POINTS = 1000;

/** Points that a person matched in two photographs, from a JSON file: [[bx,by,fx,fy],…]. */
export async function pointsFrom(file: string): Promise<Points> {
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
