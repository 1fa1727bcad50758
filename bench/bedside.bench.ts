import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { sharp } from "../packages/picture/src/decode/sharp.ts";
import type { Watched } from "./bedside/watched-process.ts";
import { sceneJpeg } from "./scale/pictures.ts";

/**
 * From a whole file to its verdict, 24 MP: one frame after the other, then thirty at once, beside decoding the same files in
 * the same run.
 *   node bench/bedside.bench.ts [megapixels, 24] [frames, 30]
 */
const [megapixels = 24, frames = 30] = process.argv.slice(2).map(Number).filter(Number.isFinite);
const out = (line: string) => process.stdout.write(`${line}\n`);
const folder = mkdtempSync(join(tmpdir(), "samescale-bench-"));
try {
  const scenes = [await sceneJpeg("L", megapixels), await sceneJpeg("straight", megapixels)];
  const files: string[] = [];
  for (let i = 0; i < 2 * frames; i++) {
    const file = join(folder, `F${String(i).padStart(4, "0")}.JPG`);
    // A comment of its own makes each a frame of its own.
    const jpeg = sharp(scenes[i % scenes.length]!).withExif({ IFD0: { ImageDescription: `frame ${i}` } });
    writeFileSync(file, await jpeg.jpeg({ quality: 92 }).toBuffer());
    files.push(file);
  }
  const process_ = fileURLToPath(new URL("./bedside/watched-process.ts", import.meta.url));
  const run = spawnSync(process.execPath, [process_, folder, ...files], {
    encoding: "utf8",
    maxBuffer: 1 << 26,
    env: { ...process.env, MALLOC_ARENA_MAX: "2" }, // as bin/samescale has it
  });
  if (run.status !== 0) throw new Error(run.stderr);
  const { single, decode, burst, peakMb, verdicts } = JSON.parse(run.stdout) as Watched;
  const decodeS = median(decode);
  out(
    `${cpus()[0]?.model ?? "?"} · Node ${process.version} · load ${loadavg()[0]!.toFixed(1)} · ${megapixels} MP`,
  );
  out(`decoding alone: ${decodeS.toFixed(2)} s`);
  out(
    `one frame after the other (${single.length}): first ${single[0]!.toFixed(2)} s, median ${median(single).toFixed(2)} s, 95th percentile ${quantile(single, 0.95).toFixed(2)} s; ${(median(single) / decodeS).toFixed(1)} x decoding`,
  );
  const seconds = burst.map((one) => one.seconds);
  out(
    `${burst.length} at once: first verdict after ${seconds[0]!.toFixed(2)} s (place ${burst[0]!.newness} by newness), last after ${Math.max(...seconds).toFixed(1)} s`,
  );
  const perFrame = Math.max(...seconds) / burst.length;
  out(
    `a burst costs ${perFrame.toFixed(2)} s a frame; in the order of newness: ${inOrder(burst.map((one) => one.newness))}`,
  );
  out(`peak memory of the process: ${peakMb.toFixed(0)} MB`);
  for (const verdict of verdicts) out(`  ${verdict}`);
} finally {
  rmSync(folder, { recursive: true });
}

function quantile(values: readonly number[], share: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)]!;
}

function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

/** How far the order of the verdicts is from newest first: share of neighbours in that order. */
function inOrder(places: readonly number[]): string {
  const right = places.slice(1).filter((place, i) => place > places[i]!).length;
  return `${right} of ${places.length - 1} neighbours`;
}
