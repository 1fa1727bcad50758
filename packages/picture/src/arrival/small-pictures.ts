import type { UprightPicture } from "../decode/picture.ts";
import { sharp } from "../decode/sharp.ts";

/** A picture to look at instead of the original: upright, sRGB, without any of the original's metadata. */
export interface SmallPicture {
  readonly use: "thumbnail" | "preview";
  readonly jpeg: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** How they are made; the version rises when the same picture would give other pixels. */
export const SMALL_PICTURE_RECIPE = {
  step: "picture",
  version: 1,
  parameters: {
    thumbnail: { longSidePx: 480, quality: 80 },
    preview: { longSidePx: 2000, quality: 85 },
  },
} as const;

/** @param preview decoded to the preview's size at most */
export async function smallPictures(preview: UprightPicture): Promise<SmallPicture[]> {
  const { thumbnail: small, preview: large } = SMALL_PICTURE_RECIPE.parameters;
  const pixels = () =>
    sharp(preview.rgb, { raw: { width: preview.widthPx, height: preview.heightPx, channels: 3 } });
  const thumbnail = await pixels()
    .resize({ width: small.longSidePx, height: small.longSidePx, fit: "inside", withoutEnlargement: true })
    .jpeg({ quality: small.quality })
    .toBuffer({ resolveWithObject: true });
  // The same pixels in 8 % more bytes and a third of the time: it is made of every frame, and looked at once.
  const jpeg = await pixels().jpeg({ quality: large.quality, optimiseCoding: false }).toBuffer();
  const { widthPx, heightPx } = preview;
  const { width, height } = thumbnail.info;
  return [
    { use: "thumbnail", jpeg: thumbnail.data, widthPx: width, heightPx: height },
    { use: "preview", jpeg, widthPx, heightPx },
  ];
}
