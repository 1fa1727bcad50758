import { closeSync, mkdirSync, openSync, writeSync } from "node:fs";
import { join } from "node:path";
import { seededRandom } from "../../packages/geometry/src/index.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { sceneJpeg as labelJpeg } from "../../packages/picture/test/label/scene.ts";
import { sceneJpeg } from "../scale/pictures.ts";

const WIDTH_PX = 6000;
const HEIGHT_PX = 4000;

/** What a card of the bench holds: nothing that looks like print, a ruler in every frame, or label frames. */
export type CardKind = "skin" | "rulers" | "labels";

/** Files of 24 MP made from one seed picture: each with a comment of its own, so that each is another original. */
export async function makeBenchCard(folder: string, kind: CardKind, files: number): Promise<string[]> {
  const seed = await SEEDS[kind]();
  const card = join(folder, kind, "DCIM", "100BENCH");
  mkdirSync(card, { recursive: true });
  return Array.from({ length: files }, (_, nth) => {
    const file = join(card, `DSC_${String(nth + 1).padStart(4, "0")}.JPG`);
    const handle = openSync(file, "wx");
    writeSync(handle, seed.subarray(0, 2));
    writeSync(handle, comment(`frame ${nth}`));
    writeSync(handle, seed.subarray(2));
    closeSync(handle);
    return file;
  });
}

/** A COM segment (ISO/IEC 10918-1, B.2.4.5): behind the start marker, where any program passes over it. */
function comment(text: string): Buffer {
  const bytes = Buffer.from(text);
  const head = Buffer.from([0xff, 0xfe, 0, 0]);
  head.writeUInt16BE(bytes.length + 2, 2);
  return Buffer.concat([head, bytes]);
}

const SEEDS: Readonly<Record<CardKind, () => Promise<Buffer>>> = {
  skin,
  rulers: async () => await sceneJpeg("straight", (WIDTH_PX * HEIGHT_PX) / 1e6),
  labels: async () =>
    await labelJpeg({ widthPx: WIDTH_PX, heightPx: HEIGHT_PX, codes: [LABEL], noise: 4 }, seededRandom(1)),
};

const LABEL = { bcid: "qrcode", text: "SR1:R-1:HN10001", modulePx: 24, deg: 6, at: [3000, 2000] } as const;

/** Smooth shapes under fine noise, as skin is; the same on every machine. */
async function skin(): Promise<Buffer> {
  let seed = 20261125;
  const random = () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };
  const raw = (width: number, height: number) => ({ raw: { width, height, channels: 3 as const } });
  const coarse = Buffer.from(Array.from({ length: 60 * 40 * 3 }, () => 90 + Math.floor(100 * random())));
  const smooth = await sharp(coarse, raw(60, 40))
    .resize({ width: WIDTH_PX, height: HEIGHT_PX, fit: "fill" })
    .raw()
    .toBuffer();
  for (let i = 0; i < smooth.length; i++) smooth[i] = Math.min(255, smooth[i]! + Math.floor(14 * random()));
  return await sharp(smooth, raw(WIDTH_PX, HEIGHT_PX)).jpeg({ quality: 92 }).toBuffer();
}
