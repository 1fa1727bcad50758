import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { decodePicture, wholeGreyOf } from "../packages/picture/src/decode/decode.ts";
import { createPicturePool } from "../packages/picture/src/pool/pool.ts";
import { scaleOfFile } from "../packages/picture/src/scale/scale-of-file.ts";
import { SCENES, sceneJpeg } from "./scale/pictures.ts";
import { plainPitchPx } from "./scale/plain-vision.ts";

/**
 * Time and memory to read the scale, beside decoding the same JPEG and beside a general vision library in the same run.
 * Each picture in a process of its own; least of the runs after the first, as a busy machine only adds. "Read" is the
 * whole command less its decoding. Then the pool: the same pictures with one worker and with two.
 *   node bench/scale.bench.ts [MEGAPIXELS ...]
 */
const RUNS = 3;
const POOL_PICTURES = 8;
const POOL_ROUNDS = 2;
const out = (line: string) => process.stdout.write(`${line}\n`);

interface Spent {
  readonly cpuMs: number;
  readonly wallMs: number;
}

interface Measured {
  readonly answer: string;
  readonly decode: Spent;
  readonly whole: Spent;
  /** The very first reading, before the code is compiled. */
  readonly first: Spent;
  readonly peakMb: number;
  readonly risenMb: number;
}

async function spent(work: () => unknown): Promise<Spent> {
  const cpu = process.cpuUsage();
  const start = performance.now();
  await work();
  const wallMs = performance.now() - start;
  const { user, system } = process.cpuUsage(cpu);
  return { cpuMs: (user + system) / 1000, wallMs };
}

async function least(work: () => unknown): Promise<Spent> {
  let best: Spent = { cpuMs: Number.POSITIVE_INFINITY, wallMs: Number.POSITIVE_INFINITY };
  for (let i = 0; i < RUNS; i++) {
    const one = await spent(work);
    best = { cpuMs: Math.min(best.cpuMs, one.cpuMs), wallMs: Math.min(best.wallMs, one.wallMs) };
  }
  return best;
}

/** Runs in a process of its own. */
async function ours(file: string): Promise<Measured> {
  const before = process.memoryUsage().rss;
  let answer = "none";
  const first = await spent(async () => {
    const read = await scaleOfFile({ file });
    if (read.found) answer = `${read.scales[0]!.pxPerMm.value.toFixed(3)} px/mm`;
  });
  const peak = process.resourceUsage().maxRSS * 1024;
  const decode = await least(() => decodePicture(file));
  const whole = await least(() => scaleOfFile({ file }));
  return { answer, decode, whole, first, peakMb: peak / 1e6, risenMb: (peak - before) / 1e6 };
}

/** The same for the general library. */
async function plain(file: string): Promise<Spent & { readonly answer: string }> {
  const grey = wholeGreyOf(await decodePicture(file));
  const pitchPx = await plainPitchPx(grey);
  const { cpuMs, wallMs } = await least(() => plainPitchPx(grey));
  return { cpuMs, wallMs, answer: pitchPx === null ? "no line" : `a period of ${pitchPx.toFixed(2)} px` };
}

function inProcess<T>(what: "ours" | "plain", file: string): T {
  const run = spawnSync(process.execPath, [fileURLToPath(import.meta.url), what, file], { encoding: "utf8" });
  if (run.status !== 0) throw new Error(run.stderr);
  return JSON.parse(run.stdout) as T;
}

async function pooled(threads: number, files: readonly string[]): Promise<number> {
  const pool = createPicturePool(threads);
  try {
    await Promise.all(files.slice(0, threads).map((file) => pool.run("scale", { file }))); // code loaded and compiled
    let best = Number.POSITIVE_INFINITY;
    for (let i = 0; i < POOL_ROUNDS; i++) {
      const { wallMs } = await spent(() => Promise.all(files.map((file) => pool.run("scale", { file }))));
      best = Math.min(best, wallMs);
    }
    return best;
  } finally {
    await pool.close();
  }
}

async function bench(sizes: readonly number[]): Promise<void> {
  out(`${cpus()[0]?.model ?? "unknown processor"}, ${cpus().length} cores, Node ${process.version}`);
  out("milliseconds of processor time (of the clock), least of the runs; memory after the first reading");
  const folder = mkdtempSync(join(tmpdir(), "samescale-bench-"));
  try {
    const perPixel = new Map<string, number>();
    const ms = ({ cpuMs, wallMs }: Spent) => `${cpuMs.toFixed(0)} (${wallMs.toFixed(0)})`;
    for (const megapixels of sizes) {
      for (const name of Object.keys(SCENES) as (keyof typeof SCENES)[]) {
        const file = join(folder, `${name}-${megapixels}.jpg`);
        writeFileSync(file, await sceneJpeg(name, megapixels));
        const { answer, decode, whole, first, peakMb, risenMb } = inProcess<Measured>("ours", file);
        const library = inProcess<Spent & { answer: string }>("plain", file);
        const read: Spent = { cpuMs: whole.cpuMs - decode.cpuMs, wallMs: whole.wallMs - decode.wallMs };
        const each = read.cpuMs / megapixels;
        if (!perPixel.has(name)) perPixel.set(name, each);
        out(
          `${String(megapixels).padStart(3)} MP ${name.padEnd(8)} decode ${ms(decode)}, read ${ms(read)} = ${(read.cpuMs / decode.cpuMs).toFixed(2)} x decode, first of all ${ms(first)} with decode; per pixel ${(each / perPixel.get(name)!).toFixed(2)} x the smallest; peak ${peakMb.toFixed(0)} MB, +${risenMb.toFixed(0)}: ${answer}`,
        );
        out(`${"".padEnd(16)}general library ${ms(library)}: ${library.answer}`);
      }
    }
    const files = Array.from({ length: POOL_PICTURES }, (_, i) => {
      return join(folder, `${Object.keys(SCENES)[i % 3]}-${Math.min(24, sizes.at(-1)!)}.jpg`);
    });
    const one = await pooled(1, files);
    const two = await pooled(2, files);
    out(
      `pool, ${files.length} pictures of ${Math.min(24, sizes.at(-1)!)} MP: one worker ${one.toFixed(0)} ms, two ${two.toFixed(0)} ms = ${(one / two).toFixed(2)} x`,
    );
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const [what, ...rest] = process.argv.slice(2);
if (what === "ours") out(JSON.stringify(await ours(rest[0]!)));
else if (what === "plain") out(JSON.stringify(await plain(rest[0]!)));
else await bench(what === undefined ? [1, 6, 24, 60] : [what, ...rest].map(Number));
