import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { colourOfPicture } from "../packages/picture/src/colour/colour-of-file.ts";
import { correctPicture } from "../packages/picture/src/colour/correct-picture.ts";
import type { Correction } from "../packages/picture/src/colour/correction.ts";
import { decodeBytes } from "../packages/picture/src/decode/decode.ts";
import {
  encodePicture,
  evenLight,
  renderPicture,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../packages/simulator/src/index.ts";

/**
 * Time to find the chart, measure and fit in a picture of 24 megapixels, after decoding, and to correct it whole; beside a
 * general vision library (its own chart finder and colour model, one thread) on the same pixels in the same run.
 *   node bench/colour.bench.ts
 */
const FULL = { widthPx: 6000, heightPx: 4000 } as const;
/** As the command decodes it for the search. */
const SEARCH_SIDE_PX = 2400;
const RUNS = 3;
const out = (line: string) => process.stdout.write(`${line}\n`);

interface Spent {
  readonly cpuMs: number;
  readonly wallMs: number;
}

async function least(work: () => unknown): Promise<Spent> {
  let best: Spent = { cpuMs: Number.POSITIVE_INFINITY, wallMs: Number.POSITIVE_INFINITY };
  for (let i = 0; i <= RUNS; i++) {
    const cpu = process.cpuUsage();
    const start = performance.now();
    await work();
    const wallMs = performance.now() - start;
    const { user, system } = process.cpuUsage(cpu);
    if (i === 0) continue; // code is compiled
    best = { cpuMs: Math.min(best.cpuMs, (user + system) / 1000), wallMs: Math.min(best.wallMs, wallMs) };
  }
  return best;
}

/** A chart of that length in the picture; none for 0. */
async function jpegWith(lengthPx: number): Promise<Buffer> {
  const magnification = 0.12;
  const pxPerMm = (magnification * FULL.widthPx) / 36;
  const chart: Thing = {
    kind: "chart",
    patchMm: lengthPx / 6.35 / pxPerMm,
    placement: { xMm: 30, yMm: 20, rotateDeg: 25 },
  };
  const wound: Thing = {
    kind: "wound",
    seed: 3,
    lengthMm: 60,
    widthMm: 40,
    placement: { xMm: -50, yMm: -10 },
  };
  const camera = standardCamera({ ...FULL, magnification, leanXDeg: 10, exposureStops: -0.3 });
  const scene = standardScene({
    skin: standardSkin({ tone: 3, seed: 4 }),
    light: evenLight(),
    things: lengthPx > 0 ? [wound, chart] : [wound],
  });
  return await encodePicture(await renderPicture({ scene, camera, seed: 5 }), camera, "jpeg");
}

interface Library {
  readonly version: string;
  readonly charts: boolean;
  readonly found: boolean;
  readonly fit: Spent;
  readonly correct?: Spent;
}

function library(rgb: Uint8Array, widthPx: number, heightPx: number, folder: string): Library | string {
  const raw = join(folder, "pixels.rgb");
  writeFileSync(raw, rgb);
  const script = fileURLToPath(new URL("./colour/general_library.py", import.meta.url));
  for (const python of ["python3", "/usr/bin/python3"]) {
    const run = spawnSync(python, [script, raw, String(widthPx), String(heightPx)], { encoding: "utf8" });
    if (run.status === 0) return JSON.parse(run.stdout) as Library;
  }
  return "the general library (OpenCV for Python) is not on this machine";
}

const ms = ({ cpuMs, wallMs }: Spent) => `${cpuMs.toFixed(0)} (${wallMs.toFixed(0)})`;
const ratio = (ours: Spent, theirs: Spent) => `${(ours.cpuMs / theirs.cpuMs).toFixed(2)} x`;

out(`${cpus()[0]?.model ?? "unknown processor"}, ${cpus().length} cores, Node ${process.version}`);
out("milliseconds of processor time (of the clock), least of the runs after the first");
const folder = mkdtempSync(join(tmpdir(), "samescale-colour-bench-"));
try {
  for (const [name, lengthPx] of [
    ["large chart", 2400],
    ["small chart", 320],
    ["no chart", 0],
  ] as const) {
    const file = join(folder, "picture.jpg");
    writeFileSync(file, await jpegWith(lengthPx));
    const bytes = readFileSync(file);
    const searched = await decodeBytes(bytes, file, { maxSidePx: SEARCH_SIDE_PX });
    const answer = colourOfPicture(searched, { file });
    const decode = await least(() => decodeBytes(bytes, file));
    const fit = await least(() => colourOfPicture(searched, { file }));
    out(
      `${name}: decode 24 MP ${ms(decode)}; find, judge and fit ${ms(fit)}: ${answer.found ? `ΔE00 ${answer.deltaE00.crossValidated.mean.toFixed(2)}` : answer.reason}`,
    );
    const full = await decodeBytes(bytes, file);
    const other = library(full.rgb, full.widthPx, full.heightPx, folder);
    if (typeof other === "string") out(`  ${other}`);
    else {
      const what = other.charts
        ? other.found
          ? "found and fitted"
          : "no chart found"
        : "thresholds and contours only";
      out(`  general library ${other.version}: ${ms(other.fit)}, ${what}; ours ${ratio(fit, other.fit)}`);
    }
    if (!answer.found) continue;
    const correct = await least(() => correctPicture(full, answer.correction satisfies Correction));
    out(
      `  correct 24 MP ${ms(correct)}${typeof other !== "string" && other.correct ? `; general library ${ms(other.correct)}; ours ${ratio(correct, other.correct)}` : ""}`,
    );
  }
} finally {
  rmSync(folder, { recursive: true });
}
