import { spawnSync } from "node:child_process";
import { mkdtemp, rm } from "node:fs/promises";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { decodePicture } from "../packages/picture/src/decode/decode.ts";
import { sharp } from "../packages/picture/src/decode/sharp.ts";
import { edgeUPx } from "../packages/picture/src/outline/edge-softness.ts";
import { type OutlineStep, outlineBySteps } from "../packages/picture/src/outline/index.ts";
import { WORK_SIDE_PX } from "../packages/picture/src/outline/work-picture.ts";
import { renderedSubject } from "./outline/rendered-subject.ts";

/**
 * Time of an outline in a 24 MP picture after decoding: the first click, then a click more, a stroke of the brush, a rim, an
 * undo; beside python3-opencv cutting the same eight crops of the same reduced picture in the same run (it does the cuts alone:
 * no polar paths, no vote, no fine edge, no uncertainty). Processor time, since the machine may be shared; the clock beside it.
 *   node bench/outline.bench.ts [runs, 9]
 */
const RUNS = Number(process.argv[2] ?? 9);
const out = (line: string) => process.stdout.write(`${line}\n`);
const folder = await mkdtemp(join(tmpdir(), "samescale-bench-"));
try {
  const { picture: rendered, outlinePx } = await renderedSubject(48);
  const file = join(folder, "wound.jpg");
  const reduced = join(folder, "reduced.png");
  const raw = { width: rendered.widthPx, height: rendered.heightPx, channels: 3 } as const;
  await sharp(rendered.rgb, { raw }).resize({ width: 6000 }).jpeg({ quality: 92 }).toFile(file);
  await sharp(rendered.rgb, { raw }).resize({ width: WORK_SIDE_PX }).png().toFile(reduced);

  const middle = [0, 1].map((c) => outlinePx.reduce((sum, p) => sum + p[c]!, 0) / outlinePx.length);
  const [x, y] = middle as [number, number];
  const full = 6000 / rendered.widthPx;
  const rimAt = (share: number) => outlinePx[Math.floor(share * outlinePx.length)]!;
  const beyond = (share: number, reach: number): [number, number] => {
    const [rx, ry] = rimAt(share);
    return [full * (x + reach * (rx - x)), full * (y + reach * (ry - y))];
  };
  const click: OutlineStep = { do: "click", at: [full * x, full * y], inside: true };
  const later: Record<string, OutlineStep> = {
    "a click more, inside": { do: "click", at: beyond(0.1, 1.15), inside: true },
    "a click more, outside": { do: "click", at: beyond(0.6, 0.85), inside: false },
    "a stroke of the brush": {
      do: "brush",
      points: [beyond(0.3, 1), beyond(0.4, 1)],
      radiusPx: 60,
      inside: true,
    },
    "a rim of six points": {
      do: "rim",
      points: [0, 1, 2, 3, 4, 5].map((k) => beyond(k / 6, 1)),
      inside: true,
    },
  };

  const decoding: Timing[] = [];
  const first: Timing[] = [];
  const others = Object.keys({ ...later, undo: 0 }).map((name) => ({ name, times: [] as Timing[] }));
  for (let run = 0; run < RUNS; run++) {
    const [decoded, picture] = await timed(() => decodePicture(file, { maxSidePx: 4 * WORK_SIDE_PX }));
    decoding.push(decoded);
    const size = { widthPx: picture.fullWidthPx, heightPx: picture.fullHeightPx };
    const answer = (steps: readonly OutlineStep[]) =>
      timed(async () => {
        const { regions, reason } = outlineBySteps(picture, steps, size);
        if (reason) throw new Error(reason);
        return regions.map((region) => edgeUPx(region, picture, picture.scale));
      });
    first.push((await answer([click]))[0]);
    for (const { name, times } of others) {
      const step = later[name];
      times.push((await answer(step ? [click, step] : [click]))[0]);
    }
  }
  const machine = `${cpus()[0]?.model ?? "?"} · Node ${process.version} · load ${loadavg()[0]!.toFixed(1)}`;
  out(`${machine} · ${RUNS} runs, medians of processor time (by the clock)`);
  out(`decoding 24 MP, reduced: ${words(decoding)}`);
  out(`first answer: ${words(first)}; the first of all, code not yet compiled: ${words(first.slice(0, 1))}`);
  for (const { name, times } of others) out(`${name}: ${words(times)}`);

  const python = ["python3", "/usr/bin/python3"].find((p) => spawnSync(p, ["-c", "import cv2"]).status === 0);
  if (!python) {
    out("python3-opencv is not here: no comparison");
  } else {
    const script = fileURLToPath(new URL("outline/general_library.py", import.meta.url));
    const places = [x, y].map((v) => String((v * WORK_SIDE_PX) / rendered.widthPx));
    const run = spawnSync(python, [script, reduced, ...places, String(RUNS)], { encoding: "utf8" });
    if (run.status !== 0) throw new Error(run.stderr);
    const theirs = JSON.parse(run.stdout) as { version: string; firstMs: number; laterMs: number };
    const ratio = (ours: readonly Timing[], ms: number) => (median(ours.map((t) => t.cpuMs)) / ms).toFixed(1);
    out(
      `python3-opencv ${theirs.version}, the cuts alone: first ${theirs.firstMs.toFixed(0)} ms, later ${theirs.laterMs.toFixed(0)} ms of processor time; ours ${ratio(first, theirs.firstMs)} and ${ratio(others[0]!.times, theirs.laterMs)} times that`,
    );
  }
} finally {
  await rm(folder, { recursive: true, force: true });
}

interface Timing {
  readonly cpuMs: number;
  readonly clockMs: number;
}

async function timed<T>(work: () => Promise<T>): Promise<[Timing, T]> {
  const clock = performance.now();
  const cpu = process.cpuUsage();
  const result = await work();
  const { user, system } = process.cpuUsage(cpu);
  return [{ cpuMs: (user + system) / 1000, clockMs: performance.now() - clock }, result];
}

function words(times: readonly Timing[]): string {
  return `${median(times.map((t) => t.cpuMs)).toFixed(0)} ms (${median(times.map((t) => t.clockMs)).toFixed(0)} ms)`;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1]!;
}
