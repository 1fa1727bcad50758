import {
  type Camera,
  type Light,
  type Picture,
  renderPicture,
  type Scene,
  standardCamera,
  standardScene,
} from "../src/index.ts";

/** Light from all round and nothing else: every place equally bright. */
export const NO_LAMPS: Light = { lamps: [], ambient: { level: 1, kelvin: 5500 } };

/** A camera that adds nothing of its own, and small pictures. */
export const PLAIN: Partial<Camera> = {
  widthPx: 900,
  heightPx: 600,
  noiseLevel: 0,
  sharpen: 0,
  vignetting: 0,
};

export const take = (scene: Partial<Scene>, camera: Partial<Camera> = {}, seed = 1): Promise<Picture> =>
  renderPicture({ scene: standardScene(scene), camera: standardCamera({ ...PLAIN, ...camera }), seed });

/** Linear light of one channel at a pixel, by the published sRGB curve. */
export function linearAt(picture: Picture, column: number, row: number, channel = 1): number {
  const v = picture.rgb[(row * picture.widthPx + column) * 3 + channel]! / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
}

/** The same between pixel centres, bilinear; upright px as in the truth. */
export function linearBetween(picture: Picture, x: number, y: number, channel = 1): number {
  const column = Math.floor(x - 0.5);
  const row = Math.floor(y - 0.5);
  const fx = x - 0.5 - column;
  const fy = y - 0.5 - row;
  const at = (i: number, j: number): number => linearAt(picture, column + i, row + j, channel);
  return (at(0, 0) * (1 - fx) + at(1, 0) * fx) * (1 - fy) + (at(0, 1) * (1 - fx) + at(1, 1) * fx) * fy;
}
