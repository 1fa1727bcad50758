import { cpus } from "node:os";
import {
  encodePicture,
  renderPicture,
  type Shot,
  standardCamera,
  standardScene,
} from "../packages/simulator/src/index.ts";

/**
 * Time to make a picture in one thread, against writing the same pixels as JPEG (quality 92, the image library).
 * Processor time, so that a busy machine shows nearly the same; median of 3 after one run to warm up.
 *   node bench/simulator.bench.ts
 */
const RUNS = 3;

const scene = standardScene({
  things: [
    { kind: "wound", placement: { xMm: 14, yMm: 9 }, seed: 5, lengthMm: 42, widthMm: 28 },
    { kind: "l-scale", placement: { xMm: -24, yMm: -20 }, legMm: 60 },
  ],
});

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

const out = (line: string) => process.stdout.write(`${line}\n`);
out(`${cpus()[0]?.model ?? "unknown processor"}, ${cpus().length} cores, Node ${process.version}`);
for (const [widthPx, heightPx, leanXDeg] of [
  [2400, 1600, 0],
  [6000, 4000, 0],
  [6000, 4000, 12],
] as const) {
  const shot: Shot = { scene, camera: standardCamera({ widthPx, heightPx, leanXDeg }), seed: 1 };
  const picture = await renderPicture(shot);
  const encodeMs = await medianMs(() => encodePicture(picture, shot.camera));
  const renderMs = await medianMs(() => renderPicture(shot));
  const megapixels = (widthPx * heightPx) / 1e6;
  out(
    `${megapixels.toFixed(1).padStart(5)} MP, lean ${leanXDeg}°: ${renderMs.toFixed(0)} ms, ` +
      `${(renderMs / megapixels).toFixed(0)} ms per MP, ${(renderMs / encodeMs).toFixed(1)} x the JPEG encoding (${encodeMs.toFixed(0)} ms)`,
  );
}
out(`largest memory ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MB`);
