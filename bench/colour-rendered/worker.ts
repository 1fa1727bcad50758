import { writeFileSync } from "node:fs";
import { parentPort, workerData } from "node:worker_threads";
import { applyHomography } from "../../packages/geometry/src/index.ts";
import { locateChart } from "../../packages/picture/src/colour/chart/locate-chart.ts";
import { measureChart } from "../../packages/picture/src/colour/measure-chart.ts";
import { decodeBytes } from "../../packages/picture/src/decode/decode.ts";
import { chartPicture } from "./chart-picture.ts";
import type { Row } from "./row.ts";

/** A thread that renders, searches, measures and judges one seed after the other. */
export interface WorkerData {
  readonly keepIn?: string;
}

const { keepIn } = workerData as WorkerData;

parentPort?.on("message", async (seed: number) => {
  parentPort?.postMessage(await rowOf(seed));
});

/** As the score program takes a corner for right. */
const RIGHT_WITHIN = 0.35;

async function rowOf(seed: number): Promise<Row> {
  const { jpeg, charts, facts } = await chartPicture(seed);
  if (keepIn) writeFileSync(`${keepIn}/${seed}.jpg`, jpeg);
  const picture = await decodeBytes(jpeg, `seed ${seed}`, { maxSidePx: 2400 });
  const start = performance.now();
  const located = locateChart(picture);
  const nothing = { mirroredRight: null, worstCorner: null, deltaE00: null, kind: null };
  if (!located.found) {
    const answer = charts.length > 0 ? "not found" : "none";
    return {
      seed,
      facts,
      answer,
      ...nothing,
      says: [located.reason],
      seconds: (performance.now() - start) / 1000,
    };
  }
  const { chart } = located;
  // the virtual chart carries the older edition's values
  const measured = measureChart(picture, chart, "before-2014");
  const seconds = (performance.now() - start) / 1000;
  const corners = [
    [0, 0],
    [5, 0],
    [5, 3],
    [0, 3],
  ].map(([x, y]) => applyHomography(chart.cellsToPx, { x: x!, y: y! }));
  const misses = charts.map(
    (want) =>
      Math.max(...want.map(([x, y], i) => Math.hypot(corners[i]!.x - x, corners[i]!.y - y))) / chart.pitchPx,
  );
  const worstCorner = misses.length > 0 ? Math.min(...misses) : null;
  const right = worstCorner !== null && worstCorner <= RIGHT_WITHIN;
  const says = "reason" in measured ? [measured.reason] : [];
  return {
    seed,
    facts,
    answer: right ? ("reason" in measured ? "refused" : "right") : "wrong place",
    mirroredRight: right ? chart.mirrored === facts.mirrored : null,
    worstCorner,
    deltaE00:
      "reason" in measured
        ? null
        : {
            before: measured.before.mean,
            after: measured.after.mean,
            crossValidated: measured.crossValidated.mean,
          },
    kind: "reason" in measured ? null : measured.correction.kind,
    says,
    seconds,
  };
}
