import { writeFileSync } from "node:fs";
import { parentPort, workerData } from "node:worker_threads";
import { colourOfPicture } from "../../packages/picture/src/colour/colour-of-file.ts";
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
  const file = `seed ${seed}`;
  const picture = await decodeBytes(jpeg, file, { maxSidePx: 2400 });
  const start = performance.now();
  // the virtual chart carries the older edition's values
  const answer = colourOfPicture(picture, { file, chartEdition: "before-2014" });
  const seconds = (performance.now() - start) / 1000;
  if (!answer.found) {
    const refused = answer.reason.startsWith("a chart is there");
    return {
      seed,
      facts,
      answer: charts.length === 0 && !refused ? "none" : refused ? "refused" : "not found",
      mirroredRight: null,
      worstCorner: null,
      deltaE00: null,
      kind: null,
      light: null,
      says: [answer.reason],
      seconds,
    };
  }
  const pitchPx = distance(answer.corners[0], answer.corners[2]) / Math.hypot(5, 3);
  const misses = charts.map(
    (want) => Math.max(...want.map((at, i) => distance(at, answer.corners[i]!))) / pitchPx,
  );
  const worstCorner = misses.length > 0 ? Math.min(...misses) : null;
  const right = worstCorner !== null && worstCorner <= RIGHT_WITHIN;
  const { before, after, crossValidated } = answer.deltaE00;
  return {
    seed,
    facts,
    answer: right ? "right" : "wrong place",
    mirroredRight: right ? answer.mirrored === facts.mirrored : null,
    worstCorner,
    deltaE00: { before: before.mean, after: after.mean, crossValidated: crossValidated.mean },
    kind: answer.correction.kind,
    light: {
      exposureStops: answer.exposureStops,
      falloff: answer.lightFalloff,
      colourChange: answer.lightColourChange,
    },
    says: answer.warnings,
    seconds,
  };
}

type XY = readonly [x: number, y: number];
const distance = (a: XY, b: XY): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
