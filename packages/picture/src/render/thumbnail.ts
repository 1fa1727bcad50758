import { decodePicture } from "../decode/decode.ts";
import { sharp } from "../decode/sharp.ts";

/** Good enough to recognise a frame by; small enough to send hundreds. Common practice, no source. */
const QUALITY = 80;

/** The upright picture as JPEG, long side at most `maxSidePx`. No metadata of the original goes along. */
export async function thumbnailOf(input: {
  readonly file: string;
  readonly maxSidePx: number;
}): Promise<Uint8Array> {
  const { rgb, widthPx, heightPx } = await decodePicture(input.file, { maxSidePx: input.maxSidePx });
  return await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .jpeg({ quality: QUALITY })
    .toBuffer();
}
