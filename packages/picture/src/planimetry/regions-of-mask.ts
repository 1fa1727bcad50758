import { SamescaleError } from "@samescale/errors";
import type { OutlineRegion, XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { MAX_PIXELS, sharp } from "../decode/sharp.ts";
import { contoursOf, ringsAsRegions, signedArea } from "../outline/contour.ts";

const PNG = [0x89, 0x50, 0x4e, 0x47];

/**
 * Regions of a mask PNG: what is not zero in any colour channel (and not transparent) is inside.
 * @throws MASK_NOT_READ, MASK_OF_ANOTHER_SIZE
 */
export async function regionsOfMaskFile(
  file: string,
  picture: { readonly widthPx: number; readonly heightPx: number },
): Promise<OutlineRegion[]> {
  const { bytes } = await bytesOfFile(file);
  const fault = (what: string, cause?: unknown) =>
    new SamescaleError(
      "MASK_NOT_READ",
      `${file}: ${what}`,
      "Save the mask as a PNG: zero outside, anything else inside.",
      { cause },
    );
  if (!PNG.every((byte, i) => bytes[i] === byte)) throw fault("this is not a PNG");
  const image = sharp(bytes, { failOn: "error", limitInputPixels: MAX_PIXELS });
  let width = 0;
  let height = 0;
  let depth = "";
  try {
    ({ width, height, depth } = await image.metadata());
  } catch (thrown) {
    throw fault("the PNG cannot be read", thrown);
  }
  if (width !== picture.widthPx || height !== picture.heightPx) {
    throw new SamescaleError(
      "MASK_OF_ANOTHER_SIZE",
      `${file}: the mask has ${width} x ${height} px, the upright picture ${picture.widthPx} x ${picture.heightPx}`,
      "Give a mask made from this picture, turned upright.",
    );
  }
  try {
    // Left to itself the library brings 16 bits down to 8, and small values with them to 0.
    const kept = depth === "ushort" ? image.toColourspace("rgb16") : image;
    const { data, info } = await kept.raw({ depth: "ushort" }).toBuffer({ resolveWithObject: true });
    const samples = new Uint16Array(data.buffer, data.byteOffset, data.length / 2);
    return regionsOfMask(insideOf(samples, info.channels), width, height);
  } catch (thrown) {
    if (thrown instanceof SamescaleError) throw thrown;
    throw fault("the PNG cannot be read", thrown);
  }
}

/** Two and four channels end with transparency. */
function insideOf(samples: Uint16Array, channels: number): Uint8Array {
  const hasAlpha = channels === 2 || channels === 4;
  const colours = hasAlpha ? channels - 1 : channels;
  return Uint8Array.from({ length: samples.length / channels }, (_, i) => {
    const o = i * channels;
    if (hasAlpha && samples[o + colours] === 0) return 0;
    for (let c = 0; c < colours; c++) if (samples[o + c] !== 0) return 1;
    return 0;
  });
}

/**
 * Outlines of a mask's parts (cells that share a side), through the middles between inside and outside cells and then
 * moved out by a hair, so that each ring encloses exactly as much as its pixels.
 */
export function regionsOfMask(inside: Uint8Array, width: number, height: number): OutlineRegion[] {
  const rings = contoursOf({ width, height, values: Float32Array.from(inside) }).map(withPixelArea);
  return ringsAsRegions(rings);
}

/** Cutting the corners takes an eighth of a pixel at each: a ring, hole or not, turns its own way four corners more often. */
const CORNERS_CUT_PX2 = 0.5;
/** Moving out by (missing area / perimeter) is exact to first order only; a few rounds settle it, even for one pixel. */
const AREA_ROUNDS = 12;

function withPixelArea(ring: readonly XY[]): XY[] {
  const area = signedArea(ring);
  const wanted = area + Math.sign(area) * CORNERS_CUT_PX2;
  let moved = [...ring];
  for (let round = 0; round < AREA_ROUNDS; round++) {
    const missing = wanted - signedArea(moved);
    const perimeter = moved.reduce((sum, [x, y], i) => {
      const [nx, ny] = moved[(i + 1) % moved.length]!;
      return sum + Math.hypot(nx - x, ny - y);
    }, 0);
    moved = movedOut(moved, missing / perimeter);
  }
  return moved;
}

/** Along the normals, outward for a ring that turns clockwise. */
function movedOut(ring: readonly XY[], by: number): XY[] {
  return ring.map(([x, y], i) => {
    const [ax, ay] = ring[(i + ring.length - 1) % ring.length]!;
    const [bx, by2] = ring[(i + 1) % ring.length]!;
    const length = Math.hypot(bx - ax, by2 - ay);
    return length > 0 ? [x + (by * (by2 - ay)) / length, y - (by * (bx - ax)) / length] : [x, y];
  });
}
