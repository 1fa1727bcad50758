import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { decodePicture, greyOf } from "../packages/picture/src/decode/decode.ts";
import { sharp } from "../packages/picture/src/decode/sharp.ts";
import { infoOfFile } from "../packages/picture/src/info/info-of-file.ts";
import { labelsOfFile } from "../packages/picture/src/label/labels-of-file.ts";

/**
 * Time from file to pixels, and of the two light commands, against the image library's own decoding of the same
 * JPEG to raw pixels. Processor time (so that a busy machine shows the same), median of 9 after one run to warm up.
 *   node bench/decode.bench.ts
 */
const RUNS = 9;
const SIZES = [
  [1200, 800],
  [3000, 2000],
  [6000, 4000],
] as const;

const folder = mkdtempSync(join(tmpdir(), "samescale-bench-"));
const out = (line: string) => process.stdout.write(`${line}\n`);

/** Smooth shapes under fine noise, as skin is; the same on every machine. */
async function picture(widthPx: number, heightPx: number): Promise<string> {
  let seed = 20261125;
  const random = () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };
  const coarse = Buffer.from(Array.from({ length: 60 * 40 * 3 }, () => 90 + Math.floor(100 * random())));
  const smooth = await sharp(coarse, { raw: { width: 60, height: 40, channels: 3 } })
    .resize({ width: widthPx, height: heightPx, fit: "fill" })
    .raw()
    .toBuffer();
  for (let i = 0; i < smooth.length; i++) smooth[i] = Math.min(255, smooth[i]! + Math.floor(14 * random()));
  const file = join(folder, `${widthPx}.jpg`);
  const jpeg = sharp(smooth, { raw: { width: widthPx, height: heightPx, channels: 3 } }).jpeg({
    quality: 92,
  });
  writeFileSync(file, await jpeg.toBuffer());
  return file;
}

async function medianMs(work: () => Promise<unknown>): Promise<number> {
  await work();
  const times: number[] = [];
  for (let i = 0; i < RUNS; i++) {
    const start = process.cpuUsage();
    await work();
    const { user, system } = process.cpuUsage(start);
    times.push((user + system) / 1000);
  }
  return times.sort((a, b) => a - b)[RUNS >> 1]!;
}

try {
  out(`${cpus()[0]?.model ?? "unknown processor"}, ${cpus().length} cores, Node ${process.version}`);
  for (const [widthPx, heightPx] of SIZES) {
    const file = await picture(widthPx, heightPx);
    const baseline = await medianMs(() => sharp(file).raw().toBuffer());
    out(
      `${((widthPx * heightPx) / 1e6).toFixed(1)} MP: library, raw pixels ${baseline.toFixed(0)} ms (baseline)`,
    );
    const rows: readonly (readonly [what: string, work: () => Promise<unknown>])[] = [
      ["decodePicture, full", () => decodePicture(file)],
      ["decodePicture, full, and grey", async () => greyOf(await decodePicture(file))],
      ["decodePicture, 2000 px", () => decodePicture(file, { maxSidePx: 2000 })],
      ["decodePicture, 1000 px", () => decodePicture(file, { maxSidePx: 1000 })],
      ["info", () => infoOfFile({ file })],
      ["label, nothing to find", () => labelsOfFile({ file })],
    ];
    for (const [what, work] of rows) {
      const ms = await medianMs(work);
      out(`  ${what.padEnd(30)} ${ms.toFixed(0).padStart(5)} ms   ${(ms / baseline).toFixed(2)} x`);
    }
  }
} finally {
  rmSync(folder, { recursive: true });
}
