import { parentPort, workerData } from "node:worker_threads";
import { decodeBytes, greyOf } from "../../packages/picture/src/decode/decode.ts";
import { readScale } from "../../packages/picture/src/scale/read-scale.ts";
import { judged } from "./judge.ts";
import { pictureOfSeed } from "./picture-of-seed.ts";
import type { Row } from "./row.ts";

/** A thread that renders, reads and judges one seed after the other. */
export interface WorkerData {
  readonly clutter: boolean;
  readonly keepIn?: string;
}

const { clutter, keepIn } = workerData as WorkerData;

parentPort?.on("message", async (seed: number) => {
  parentPort?.postMessage(await rowOf(seed));
});

async function rowOf(seed: number): Promise<Row> {
  const { jpeg, truth, facts, focalMm, pixelMm } = await pictureOfSeed(seed, clutter, keepIn);
  const grey = greyOf(await decodeBytes(jpeg, `seed ${seed}`));
  const start = performance.now();
  const reading = readScale(grey, { focalMm, pixelMm });
  const readMs = performance.now() - start;
  return { seed, facts, ...judged(reading, truth), readMs };
}
