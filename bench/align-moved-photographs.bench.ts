import { parseArgs } from "node:util";
import { applyHomography, composeHomographies, type Matrix3 } from "../packages/geometry/src/index.ts";
import { alignPictures } from "../packages/picture/src/align/align-pictures.ts";
import { type Case, casesOf, meanErrorPx, photographsAreHere } from "./align/moved-photographs.ts";

/**
 * Alignment on photographs of real skin that are moved by a known amount, under other light, noise and with a changed
 * region; and on the situations that mislead: a subject before a cloth, two subjects on one cloth, a mark burnt into
 * both pictures, a mirrored or unrelated follow-up. Mean error over the subject per 1000 px; "wrong" is more than 10,
 * or any answer at all where there is none. Needs ../shared/data.
 *   node bench/align-moved-photographs.bench.ts [--rounds 10] [--first 0] [--kind WORDS] [--back] [--verbose]
 * --back lays the baseline over the follow-up as well and tells how far both ways disagree.
 */
const { values } = parseArgs({
  options: {
    rounds: { type: "string", default: "10" },
    first: { type: "string", default: "0" },
    kind: { type: "string", default: "" },
    back: { type: "boolean", default: false },
    verbose: { type: "boolean", default: false },
  },
});
const [rounds, first] = [Number(values.rounds), Number(values.first)];
const out = (line: string) => process.stdout.write(`${line}\n`);
if (!photographsAreHere) {
  out("the photographs (../shared/data) are not here");
  process.exit(0);
}

const NOTHING = { baseline: [], followup: [] };
interface Tally {
  n: number;
  errors: number[];
  refused: number;
  warned: number;
  wrong: number;
  silent: number;
}
const tally = new Map<string, Tally>();
for (let round = first; round < first + rounds; round++) {
  for (const [kind, make] of Object.entries(await casesOf(round))) {
    if (!kind.includes(values.kind)) continue;
    await one(round, kind, make());
  }
}

async function one(round: number, kind: string, pair: Case): Promise<void> {
  const laid = await alignPictures(pair.baseline, pair.followup, NOTHING);
  const t = tally.get(kind) ?? { n: 0, errors: [], refused: 0, warned: 0, wrong: 0, silent: 0 };
  tally.set(kind, t);
  t.n++;
  if (!laid.aligned) {
    t.refused++;
    return;
  }
  const error = pair.truth ? meanErrorPx(pair, laid.homography) : Number.POSITIVE_INFINITY;
  const isWarned = laid.warnings.length > 0;
  if (pair.truth) t.errors.push(error);
  if (isWarned) t.warned++;
  if (error > 10) t.wrong++;
  if (error > 10 && !isWarned) t.silent++;
  const back = values.back ? await wayBack(pair, laid.homography) : "";
  if (values.verbose || (error > 10 && !isWarned)) {
    out(
      `  ${round} ${kind}: ${error.toFixed(2)} px, agreement ${laid.agreement.toFixed(2)}, by ${laid.proposedBy.join(" + ")}${back}${isWarned ? ", warned" : ""}`,
    );
  }
}

/** There and back again: how far a point ends from where it began. */
async function wayBack({ baseline, followup }: Case, there: Matrix3): Promise<string> {
  const laid = await alignPictures(followup, baseline, NOTHING);
  if (!laid.aligned) return ", the other way refused";
  const round = composeHomographies(there, laid.homography);
  const { widthPx: w, heightPx: h } = baseline;
  let sum = 0;
  for (let i = 0; i < 25; i++) {
    const p = { x: (((i % 5) + 0.5) * w) / 5, y: ((Math.floor(i / 5) + 0.5) * h) / 5 };
    const q = applyHomography(round, p);
    sum += Math.hypot(q.x - p.x, q.y - p.y);
  }
  return `, there and back ${(((sum / 25) * 1000) / Math.max(w, h)).toFixed(2)} px`;
}

for (const [kind, { n, errors, refused, warned, wrong, silent }] of tally) {
  errors.sort((a, b) => a - b);
  const figures = errors.length
    ? `median ${errors[errors.length >> 1]!.toFixed(2)}, largest ${errors.at(-1)!.toFixed(2)} px`
    : "";
  out(
    `${kind.padEnd(40)} ${n}: refused ${refused}, warned ${warned}, wrong ${wrong} (${silent} without warning) ${figures}`,
  );
}
