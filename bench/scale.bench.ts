import { cpus } from "node:os";
import { seededRandom } from "../packages/geometry/src/index.ts";
import { decodeBytes, greyOf } from "../packages/picture/src/decode/decode.ts";
import type { GreyPicture } from "../packages/picture/src/decode/picture.ts";
import { sharp } from "../packages/picture/src/decode/sharp.ts";
import { readScale } from "../packages/picture/src/scale/read-scale.ts";
import { renderPicture, standardCamera, standardScene } from "../packages/simulator/src/index.ts";

/**
 * Time to read the scale, against decoding the same JPEG. Processor time of one thread (so that a busy machine shows
 * the same), median of 5 after one run to warm up. Three pictures per size: a millimetre scale on skin, an L, and
 * skin without a scale, where the search has to go to the end.
 *   node bench/scale.bench.ts
 */
const RUNS = 5;
const SIZES = [1, 6, 24, 60] as const; // megapixels
const out = (line: string) => process.stdout.write(`${line}\n`);

const scenes = {
  straight: [
    { kind: "straight-scale", placement: { xMm: 0, yMm: 20, rotateDeg: 6 }, lengthMm: 100, edges: ["mm"] },
  ],
  "L-shaped": [{ kind: "l-scale", placement: { xMm: -25, yMm: -15, rotateDeg: 4 }, legMm: 60 }],
  none: [],
} as const;

/** Rendered at 3000 x 2000 px and enlarged, with the noise of a sensor of the final size. */
async function jpeg(things: (typeof scenes)[keyof typeof scenes], megapixels: number): Promise<Buffer> {
  const camera = standardCamera({ widthPx: 3000, heightPx: 2000, leanXDeg: 5, leanYDeg: -4 });
  const shown = await renderPicture({ scene: standardScene({ things }), camera, seed: 41207 });
  const width = Math.round(Math.sqrt(megapixels * 1.5e6));
  const raw = { width: shown.widthPx, height: shown.heightPx, channels: 3 } as const;
  const { data, info } = await sharp(shown.rgb, { raw })
    .resize({ width })
    .raw()
    .toBuffer({ resolveWithObject: true });
  const random = seededRandom(megapixels);
  for (let i = 0; i < data.length; i++) data[i] = Math.max(0, Math.min(255, data[i]! + 6 * (random() - 0.5)));
  return await sharp(data, { raw: { width: info.width, height: info.height, channels: 3 } })
    .jpeg({ quality: 92 })
    .toBuffer();
}

async function medianMs(work: () => unknown): Promise<number> {
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

out(`${cpus()[0]?.model ?? "unknown processor"}, ${cpus().length} cores, Node ${process.version}`);
for (const megapixels of SIZES) {
  for (const [name, things] of Object.entries(scenes)) {
    const bytes = await jpeg(things, megapixels);
    let grey: GreyPicture | null = null;
    const decodeMs = await medianMs(async () => {
      grey = greyOf(await decodeBytes(bytes, name));
    });
    const picture = grey as unknown as GreyPicture;
    const readMs = await medianMs(() => readScale(picture));
    const reading = readScale(picture);
    const answer = reading.found ? `${reading.scales[0]!.pxPerMm.value.toFixed(3)} px/mm` : "none";
    out(
      `${String(megapixels).padStart(3)} MP ${name.padEnd(9)} decode ${decodeMs.toFixed(0).padStart(5)} ms, read ${readMs.toFixed(0).padStart(5)} ms, ratio ${(readMs / decodeMs).toFixed(2)}: ${answer}`,
    );
  }
}
