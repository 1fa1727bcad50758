import { SamescaleError } from "@samescale/errors";
import type { XY } from "../../answers.ts";
import type { OutlineStep } from "./step.ts";

/** More than anyone does in one picture. */
const MOST_STEPS = 1000;
const MOST_CLICKS = 200;
const MOST_POINTS = 50_000;

/**
 * Steps from parsed JSON that nobody vouches for: `{"steps": [{"do": "click", "at": [812, 440], "inside": true}, …]}` or the
 * list alone.
 * @param where what to name in errors
 * @throws OUTLINE_STEPS_NOT_UNDERSTOOD
 */
export function stepsFromJson(value: unknown, where: string): OutlineStep[] {
  const fault = (what: string) =>
    new SamescaleError(
      "OUTLINE_STEPS_NOT_UNDERSTOOD",
      `${where}: ${what}`,
      'Expected {"steps": [{"do": "click", "at": [x, y], "inside": true}, …]}; docs/methods/outline.md lists the tools.',
    );
  const list: unknown = isRecord(value) ? value.steps : value;
  if (!Array.isArray(list)) throw fault("no list of steps in it, or not JSON");
  if (list.length === 0) throw fault("no step in it");
  if (list.length > MOST_STEPS) throw fault(`${list.length} steps, more than ${MOST_STEPS}`);
  if (list.filter((step) => isRecord(step) && step.do === "click").length > MOST_CLICKS) {
    throw fault(`more than ${MOST_CLICKS} clicks; draw the edge where so many do not mend it`);
  }
  let points = 0;
  return list.map((step: unknown, i) => {
    const name = `step ${i + 1}`;
    if (!isRecord(step)) throw fault(`${name} is not an object`);
    const inside = (): boolean => {
      if (step.inside === undefined) return true;
      if (typeof step.inside !== "boolean") throw fault(`${name}: "inside" is neither true nor false`);
      return step.inside;
    };
    const path = (): XY[] => {
      if (!Array.isArray(step.points)) throw fault(`${name}: "points" is not a list`);
      points += step.points.length;
      if (points > MOST_POINTS) throw fault(`more than ${MOST_POINTS} points`);
      return step.points.map((p: unknown, k): XY => {
        if (!isNumbers(p, 2)) throw fault(`${name}: point ${k + 1} is not two numbers`);
        return [p[0]!, p[1]!];
      });
    };
    switch (step.do) {
      case "click":
        if (!isNumbers(step.at, 2)) throw fault(`${name}: "at" is not two numbers`);
        return { do: "click", at: [step.at[0]!, step.at[1]!], inside: inside() };
      case "box":
        if (!isNumbers(step.box, 4)) throw fault(`${name}: "box" is not four numbers`);
        return { do: "box", box: [step.box[0]!, step.box[1]!, step.box[2]!, step.box[3]!] };
      case "rim":
      case "draw":
        return { do: step.do, points: path(), inside: inside() };
      case "brush":
        if (!isNumbers([step.radiusPx], 1)) throw fault(`${name}: "radiusPx" is not a number`);
        return { do: "brush", points: path(), radiusPx: step.radiusPx as number, inside: inside() };
      default:
        throw fault(`${name}: "do" is none of click, box, rim, brush, draw`);
    }
  });
}

const isNumbers = (v: unknown, count: number): v is readonly number[] =>
  Array.isArray(v) && v.length === count && v.every((n) => typeof n === "number" && Number.isFinite(n));

const isRecord = (v: unknown): v is Readonly<Record<string, unknown>> =>
  typeof v === "object" && v !== null && !Array.isArray(v);
