import { sharp } from "../../decode/sharp.ts";
import type { Laid } from "./laid-picture.ts";
import { GROUND_RGB } from "./panel.ts";

/**
 * How long each of the two shows. A whole turn takes 2.4 s, 0.4 a second: far below the three flashes a second that may harm
 * people with photosensitive epilepsy, slow enough to look at each. @source WCAG22 2.3.1
 */
export const BLINK_MS = 1200;

/** Both sheets in turn, without end, as an animated picture; the shorter one is filled up with the paper's tone below. */
export async function blink(first: Laid, second: Laid): Promise<Buffer> {
  const width = first.widthPx;
  const height = Math.max(first.heightPx, second.heightPx);
  const both = Buffer.alloc(3 * width * height * 2, Buffer.from(GROUND_RGB));
  both.set(first.rgb, 0);
  both.set(second.rgb, 3 * width * height);
  return await sharp(both, { raw: { width, height: 2 * height, channels: 3, pageHeight: height } })
    .withIccProfile("srgb")
    .webp({ quality: 88, delay: [BLINK_MS, BLINK_MS], loop: 0 })
    .toBuffer();
}
