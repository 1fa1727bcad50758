import { isMainThread, parentPort } from "node:worker_threads";
import { areaOf, perimeterOf } from "../packages/geometry/src/index.ts";
import { edgeUPx } from "../packages/picture/src/outline/edge-softness.ts";
import { outlinesAfterClicks } from "./outline/click-rule.ts";
import { CASES, renderedSubject, type Subject } from "./outline/rendered-subject.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";
import { quantile, shareOf } from "./scale-rendered/statistics.ts";

/**
 * Does the edge's part of an area's interval hold when the outline comes from clicks? The tool's own outline after one and
 * after three clicks, its own edgeUPx, and the true area in pixels: no scale takes part.
 *   node bench/edge-doubt.bench.ts FIRST_SEED COUNT
 */
const CLICKS = 3;
/** Beyond it `desk` does not measure and asks for a drawing by hand. */
const MOST_EDGE_SHARE = 0.15;

interface Row {
  readonly subject: Subject;
  readonly tone: number;
  readonly clicks: number;
  /** Of the true area. */
  readonly off: number;
  readonly u95: number;
  readonly asked: boolean;
}

if (isMainThread) {
  const [first = 0, count = CASES] = process.argv.slice(2).map(Number);
  const rows = (await rowsOfSeeds<Row[]>(new URL(import.meta.url), { first, count }, 2)).flat();
  const line = (name: string, of: readonly Row[]) => {
    const kept = of.filter((r) => !r.asked);
    const { percent, least, most } = shareOf(kept, (r) => Math.abs(r.off) <= r.u95);
    const half = (f: (r: Row) => number) => (100 * quantile(kept.map(f), 0.5)).toFixed(1);
    process.stdout.write(
      `${name.padEnd(22)} ${String(of.length).padStart(4)} outlines, ${String(of.length - kept.length).padStart(3)} left to a person; area off by ${half((r) => Math.abs(r.off))} % (median), interval ± ${half((r) => r.u95)} %, holds ${percent.toFixed(0)} % (${least.toFixed(0)}-${most.toFixed(0)})\n`,
    );
  };
  for (const clicks of [1, CLICKS]) {
    const of = rows.filter((r) => r.clicks === clicks);
    line(`after ${clicks}`, of);
    for (const subject of ["wound", "lesion", "bruise"])
      line(
        `  ${subject}`,
        of.filter((r) => r.subject === subject),
      );
    for (const tone of [1, 2, 3, 4, 5, 6])
      line(
        `  tone ${tone}`,
        of.filter((r) => r.tone === tone),
      );
  }
} else {
  parentPort!.on("message", async (seed: number) => parentPort!.postMessage(await rowsOf(seed)));
}

async function rowsOf(seed: number): Promise<Row[]> {
  const { subject, tone, picture, truth } = await renderedSubject(seed);
  const trueArea = truth.reduce((sum, v) => sum + v, 0);
  const after = outlinesAfterClicks(picture, truth, CLICKS);
  return [1, CLICKS].map((clicks) => {
    let area = 0;
    let doubt = 0;
    let asked = false;
    for (const region of after[clicks - 1]!.regions) {
      const ring = region.outline.map(([x, y]) => ({ x, y }));
      const holes = region.holes.map((hole) => hole.map(([x, y]) => ({ x, y })));
      const own = areaOf({ outline: ring, holes });
      const u = edgeUPx(region, picture, 1);
      const perimeter = [ring, ...holes].reduce((sum, r) => sum + perimeterOf(r), 0);
      area += own;
      doubt += u * (perimeter + 2 * Math.PI * u);
      if ((u * perimeterOf(ring)) / own > MOST_EDGE_SHARE) asked = true;
    }
    return { subject, tone, clicks, off: area / trueArea - 1, u95: (2 * doubt) / trueArea, asked };
  });
}
