import bwipjs from "bwip-js/node";
import sharp from "sharp";

/** A printed code on its label, as it lies in the picture. */
export interface PrintedCode {
  readonly bcid: string;
  readonly text: string;
  readonly options?: object;
  /** Narrow bar or square, in pixels of the picture. */
  readonly modulePx: number;
  readonly deg: number;
  readonly at: readonly [x: number, y: number];
  /** Wrapped round a wrist of this radius, "around" the limb (bars along its axis) or "along" it. */
  readonly wrist?: { readonly radiusMm: number; readonly way: "around" | "along" };
}

export interface Scene {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codes: readonly PrintedCode[];
  readonly blurPx?: number;
  /** Standard deviation in grey levels of 255. */
  readonly noise?: number;
  /** Part of each symbol's area that a reflection burns out. */
  readonly glare?: number;
}

/** Narrow bar of a wristband printer: 300 dots an inch, four dots. */
const MODULE_MM = 0.34;
const DRAWN_PX = 8;
const INK = 35;
const PAPER = 225;
const CLOTH = 118;

/** Grey picture of labels on cloth, as JPEG. The same `random` gives the same picture. */
export async function sceneJpeg(scene: Scene, random: () => number): Promise<Buffer> {
  const { widthPx, heightPx, codes, blurPx = 0, noise = 3, glare = 0 } = scene;
  const grey = new Float32Array(widthPx * heightPx);
  for (let i = 0; i < grey.length; i++)
    grey[i] = CLOTH + 8 * Math.sin(i / 37) + 6 * Math.sin(i / widthPx / 23);
  for (const code of codes) await draw(grey, widthPx, heightPx, code, glare, random);
  const bytes = Buffer.alloc(grey.length);
  for (let i = 0; i < grey.length; i++) bytes[i] = Math.min(255, Math.max(0, grey[i]!));
  const raw = { width: widthPx, height: heightPx, channels: 1 } as const;
  let soft: Buffer = bytes;
  if (blurPx >= 0.3) soft = await sharp(bytes, { raw }).blur(blurPx).extractChannel(0).raw().toBuffer();
  if (noise > 0) {
    for (let i = 0; i < soft.length; i++) {
      // Sum of three: near enough to the bell curve.
      const n = (random() + random() + random() - 1.5) * 2;
      soft[i] = Math.min(255, Math.max(0, soft[i]! + n * noise));
    }
  }
  return await sharp(soft, { raw }).jpeg({ quality: 92 }).toBuffer();
}

async function draw(
  grey: Float32Array,
  widthPx: number,
  heightPx: number,
  { bcid, text, options, modulePx, deg, at, wrist }: PrintedCode,
  glare: number,
  random: () => number,
): Promise<void> {
  // The writer's scale is dots of 1/72 inch; quiet zones of ten modules.
  const symbol = await bwipjs.toBuffer({
    bcid,
    text,
    scale: DRAWN_PX,
    paddingwidth: 10,
    paddingheight: 6,
    backgroundcolor: "ffffff",
    ...options,
  });
  const { data, info } = await sharp(symbol)
    .flatten()
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const perModule = DRAWN_PX;
  const [w, h] = [info.width / perModule, info.height / perModule];
  const radius = wrist ? wrist.radiusMm / MODULE_MM : Number.POSITIVE_INFINITY;
  const angle = (deg * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const reach = (Math.hypot(w, h) / 2) * modulePx + 2;
  const shine = { u: (random() - 0.5) * w * 0.6, v: (random() - 0.5) * h * 0.6 };
  const shineRadius = Math.sqrt((glare * (w - 20) * (h - 12)) / Math.PI);
  const steps = modulePx < 2 ? 5 : 3;
  for (let y = Math.max(0, Math.floor(at[1] - reach)); y < Math.min(heightPx, at[1] + reach); y++) {
    for (let x = Math.max(0, Math.floor(at[0] - reach)); x < Math.min(widthPx, at[0] + reach); x++) {
      let sum = 0;
      let inside = 0;
      for (let s = 0; s < steps * steps; s++) {
        const px = (x + ((s % steps) + 0.5) / steps - at[0]) / modulePx;
        const py = (y + (Math.floor(s / steps) + 0.5) / steps - at[1]) / modulePx;
        let u = px * cos + py * sin;
        let v = py * cos - px * sin;
        let light = 1;
        if (wrist) {
          const across = wrist.way === "around" ? u : v;
          if (Math.abs(across) >= radius * 0.99) continue;
          const turn = Math.asin(across / radius);
          light = 0.35 + 0.65 * Math.cos(turn);
          if (wrist.way === "around") u = turn * radius;
          else v = turn * radius;
        }
        const c = Math.floor((u + w / 2) * perModule);
        const r = Math.floor((v + h / 2) * perModule);
        if (c < 0 || r < 0 || c >= info.width || r >= info.height) continue;
        const off = Math.hypot(u - shine.u, v - shine.v) / Math.max(shineRadius, 1e-9);
        const burnt = glare > 0 ? 260 * Math.exp(-((off / 1.1) ** 6)) : 0;
        sum +=
          (data[r * info.width * info.channels + c * info.channels]! < 128 ? INK : PAPER) * light + burnt;
        inside++;
      }
      const i = y * widthPx + x;
      if (inside > 0) grey[i] = (sum + grey[i]! * (steps * steps - inside)) / (steps * steps);
    }
  }
}
