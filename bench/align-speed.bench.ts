import { spawnSync } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { alignPictures } from "../packages/picture/src/align/align-pictures.ts";
import { FINE_SIDE_PX } from "../packages/picture/src/align/work-picture.ts";
import { decodePicture, greyOf } from "../packages/picture/src/decode/decode.ts";
import { sharp } from "../packages/picture/src/decode/sharp.ts";
import type { Picture } from "../packages/simulator/src/index.ts";
import { renderedPair } from "./align/rendered-skin.ts";

/**
 * Time of aligning two 24 MP pictures after decoding, beside python3-opencv doing comparable steps (local contrast, AKAZE and
 * ORB, mutual matches, MAGSAC, refinement by ECC, warping, correlation) on the same pictures in the same run. Processor time
 * of one thread each, since the machine may be shared; wall time of ours beside it.
 *   node bench/align-speed.bench.ts [runs, 5]
 */
const RUNS = Number(process.argv[2] ?? 5);
const out = (line: string) => process.stdout.write(`${line}\n`);
const folder = await mkdtemp(join(tmpdir(), "samescale-bench-"));
try {
  const pair = await renderedPair(1);
  const files = [join(folder, "baseline.jpg"), join(folder, "followup.jpg")] as const;
  await written(pair.baseline, files[0]);
  await written(pair.followup, files[1]);
  const reduced = files.map((file) => file.replace(".jpg", ".png"));
  for (const [i, file] of files.entries()) {
    await sharp(file).resize({ width: FINE_SIDE_PX }).png().toFile(reduced[i]!);
  }

  const python = ["python3", "/usr/bin/python3"].find(
    (name) => spawnSync(name, ["-c", "import cv2"]).status === 0,
  );
  const decoding: number[] = [];
  const aligning: number[] = [];
  const wall: number[] = [];
  for (let run = 0; run < RUNS; run++) {
    const [decodeMs, pictures] = await timed(() =>
      Promise.all(files.map(async (f) => greyOf(await decodePicture(f, { maxSidePx: FINE_SIDE_PX })))),
    );
    const started = performance.now();
    const [alignMs, laid] = await timed(() =>
      alignPictures(pictures[0]!, pictures[1]!, { baseline: [], followup: [] }),
    );
    wall.push(performance.now() - started);
    if (!laid.aligned) throw new Error(laid.reason);
    decoding.push(decodeMs);
    aligning.push(alignMs);
  }
  out(
    `${cpus()[0]?.model ?? "?"} · Node ${process.version} · load ${loadavg()[0]!.toFixed(1)} · ${RUNS} runs, medians`,
  );
  out(`decoding two 24 MP: ${median(decoding).toFixed(0)} ms`);
  out(
    `aligning them: ${median(aligning).toFixed(0)} ms of processor time, ${median(wall).toFixed(0)} ms by the clock (first run, with the library's start: ${wall[0]!.toFixed(0)} ms)`,
  );
  if (!python) {
    out("python3-opencv is not here: no comparison");
  } else {
    const script = fileURLToPath(new URL("align/same-steps.py", import.meta.url));
    const run = spawnSync(python, [script, ...reduced, String(RUNS)], { encoding: "utf8" });
    if (run.status !== 0) throw new Error(run.stderr);
    const theirs = JSON.parse(run.stdout) as { version: string; ms: number[]; correlation: number };
    out(
      `python3-opencv ${theirs.version}: ${median(theirs.ms).toFixed(0)} ms of processor time (correlation ${theirs.correlation.toFixed(2)}); ours ${(median(aligning) / median(theirs.ms)).toFixed(1)} times that`,
    );
  }
} finally {
  await rm(folder, { recursive: true, force: true });
}

async function written(picture: Picture, file: string): Promise<void> {
  await sharp(picture.rgb, { raw: { width: picture.widthPx, height: picture.heightPx, channels: 3 } })
    .resize({ width: 6000 })
    .jpeg({ quality: 92 })
    .toFile(file);
}

async function timed<T>(work: () => Promise<T>): Promise<[ms: number, result: T]> {
  const start = process.cpuUsage();
  const result = await work();
  const { user, system } = process.cpuUsage(start);
  return [(user + system) / 1000, result];
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1]!;
}
