import { seededRandom } from "../../packages/geometry/src/index.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { renderPicture, standardCamera, standardScene } from "../../packages/simulator/src/index.ts";

/** A millimetre scale on skin, an L, and skin without a scale, where the search has to go to the end. */
export const SCENES = {
  straight: [
    { kind: "straight-scale", placement: { xMm: 0, yMm: 20, rotateDeg: 6 }, lengthMm: 100, edges: ["mm"] },
  ],
  L: [{ kind: "l-scale", placement: { xMm: -25, yMm: -15, rotateDeg: 4 }, legMm: 60 }],
  none: [],
} as const;

/** Rendered at 3000 x 2000 px and enlarged or made smaller, with the noise of a sensor of the final size. */
export async function sceneJpeg(name: keyof typeof SCENES, megapixels: number): Promise<Buffer> {
  const camera = standardCamera({ widthPx: 3000, heightPx: 2000, leanXDeg: 5, leanYDeg: -4 });
  const scene = standardScene({ things: SCENES[name] });
  const shown = await renderPicture({ scene, camera, seed: 41207 });
  const { data, info } = await sharp(shown.rgb, {
    raw: { width: shown.widthPx, height: shown.heightPx, channels: 3 },
  })
    .resize({ width: Math.round(Math.sqrt(megapixels * 1.5e6)) })
    .raw()
    .toBuffer({ resolveWithObject: true });
  const random = seededRandom(megapixels);
  for (let i = 0; i < data.length; i++) data[i] = Math.max(0, Math.min(255, data[i]! + 6 * (random() - 0.5)));
  return await sharp(data, { raw: { width: info.width, height: info.height, channels: 3 } })
    .jpeg({ quality: 92 })
    .toBuffer();
}
