import type { UprightPicture } from "../decode/picture.ts";
import { type Correction, TERMS, toned } from "./correction.ts";
import { linearToSrgb, srgbToLinear } from "./space.ts";

/** Steps of the table back to code values: at the dark end, where sRGB is steepest, a step is 1/5 of a code value. */
const ENCODE_STEPS = 16384;

/** The whole picture corrected: the same as `corrected` for each pixel, within one code value, at table speed. */
export function correctPicture(picture: UprightPicture, correction: Correction): UprightPicture {
  const linear = new Float32Array(256);
  for (let v = 0; v < 256; v++) {
    linear[v] = srgbToLinear(Math.min(1, Math.max(0, toned(v / 255, correction.tone))));
  }
  const encode = new Uint8Array(ENCODE_STEPS + 1);
  for (let i = 0; i <= ENCODE_STEPS; i++) encode[i] = Math.round(255 * linearToSrgb(i / ENCODE_STEPS));
  const code = (value: number) =>
    encode[value <= 0 ? 0 : value >= 1 ? ENCODE_STEPS : Math.round(value * ENCODE_STEPS)]!;

  const terms = TERMS[correction.kind].length;
  const m = Float64Array.from(
    [0, 1, 2].flatMap((r) => Array.from({ length: 6 }, (_, t) => correction.matrix[r]![t] ?? 0)),
  );
  const rgb = new Uint8Array(picture.rgb.length);
  for (let i = 0; i < rgb.length; i += 3) {
    const r = linear[picture.rgb[i]!]!;
    const g = linear[picture.rgb[i + 1]!]!;
    const b = linear[picture.rgb[i + 2]!]!;
    let x = m[0]! * r + m[1]! * g + m[2]! * b;
    let y = m[6]! * r + m[7]! * g + m[8]! * b;
    let z = m[12]! * r + m[13]! * g + m[14]! * b;
    if (terms > 3) {
      const [rg, gb, rb] = [Math.sqrt(r * g), Math.sqrt(g * b), Math.sqrt(r * b)];
      x += m[3]! * rg + m[4]! * gb + m[5]! * rb;
      y += m[9]! * rg + m[10]! * gb + m[11]! * rb;
      z += m[15]! * rg + m[16]! * gb + m[17]! * rb;
    }
    rgb[i] = code(x);
    rgb[i + 1] = code(y);
    rgb[i + 2] = code(z);
  }
  return { widthPx: picture.widthPx, heightPx: picture.heightPx, rgb };
}
