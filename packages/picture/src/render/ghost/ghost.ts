import { applyHomography, imagePoint, type Matrix3 } from "@samescale/geometry";
import { scaleRegions } from "../../align/scale-regions.ts";
import type { OutlineRegion, Recipe, ScaleAnswer, XY } from "../../answers.ts";
import { fittingSize, type Size } from "../../decode/fitting-size.ts";
import { sharp } from "../../decode/sharp.ts";
import { infoOfFile } from "../../info/info-of-file.ts";
import { coverOf, frameToPicture, type Laid, laidPicture } from "../comparison/laid-picture.ts";
import { edgeLines } from "./edge-lines.ts";
import { framingSheet } from "./framing-sheet.ts";

export interface GhostInput {
  /** The baseline. */
  readonly file: string;
  /** Of the baseline's subject, upright, in the middle. */
  readonly pxPerMm: number;
  /** The frame that is to be made, as the camera will be held. */
  readonly next: Size & { readonly pxPerMm: number };
  /** One of the two was made through a mirror, the other is not: left and right are changed over. */
  readonly turnOver: boolean;
  /** Its place is marked, and no lines are drawn in it: it lies anew each time. */
  readonly scale: ScaleAnswer | null;
  /** Below the thumbnail. */
  readonly title: string;
  readonly notes: readonly string[];
}

export interface GhostAnswer {
  /** With transparency, to be laid over the picture that the camera shows. */
  readonly png: Uint8Array;
  /** The same framing, opaque, with thirds, middle and the scale's place. */
  readonly thumbnail: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Upright baseline px → px of the ghost. */
  readonly baselineToGhost: Matrix3;
  /** Share of the ghost that the baseline covers. */
  readonly covered: number;
  /** Of the baseline's file. */
  readonly sha256: string;
  readonly recipe: Recipe;
}

/** What screens show well; a live picture is smaller. */
const LONG_SIDE_PX = 1600;
const THUMBNAIL_PX = 900;
/** Half transparent: baseline and live picture count alike. */
const SEEN = 128;

/** Pale in dark: one of both stands out on every skin. */
const PALE = [246, 246, 244, 240] as const;
const DARK = [24, 25, 26, 190] as const;

/**
 * The baseline as it would lie in the frame that is to be made: upright, a millimetre of the subject as large as it will be
 * there, middle on middle, with its edges drawn out. A derivative: the original is only read.
 * @throws SamescaleError those of reading and decoding
 */
export async function ghostOf(input: GhostInput): Promise<GhostAnswer> {
  const { widthPx, heightPx, sha256 } = await infoOfFile({ file: input.file });
  const baseline = { widthPx, heightPx };
  const size = fittingSize(input.next, LONG_SIDE_PX);
  const baselineToGhost = ghostMap(baseline, input, size);
  const frame = { ...size, fromBaseline: baselineToGhost };
  const laid = await laidPicture(input.file, SAME, frame);
  const cover = coverOf(baseline, frame, frameToPicture(frame, SAME));
  const scaleAt = (input.scale === null ? [] : scaleRegions(input.scale)).map((region) =>
    moved(region, baselineToGhost),
  );
  const lines = await edgeLines(laid, cover, scaleAt);
  const rgba = overlay(laid, cover, lines);
  const png = await sharp(rgba, { raw: { width: size.widthPx, height: size.heightPx, channels: 4 } })
    .withIccProfile("srgb")
    .png()
    .toBuffer();
  const thumbnail = await framingSheet(laid, THUMBNAIL_PX, {
    scaleAt,
    title: input.title,
    notes: input.notes,
    pxPerMm: (input.next.pxPerMm * size.widthPx) / input.next.widthPx,
  });
  return {
    png,
    thumbnail,
    widthPx: size.widthPx,
    heightPx: size.heightPx,
    baselineToGhost,
    covered: cover.reduce((sum, c) => sum + c, 0) / cover.length,
    sha256,
    recipe: {
      step: "ghost",
      version: 1,
      parameters: {
        pxPerMm: input.pxPerMm,
        next: input.next,
        turnOver: input.turnOver,
        longSidePx: LONG_SIDE_PX,
      },
    },
  };
}

const SAME: Matrix3 = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Middle on middle, by how much larger or smaller a millimetre becomes. */
function ghostMap(baseline: Size, { pxPerMm, next, turnOver }: GhostInput, size: Size): Matrix3 {
  const k = next.pxPerMm / pxPerMm;
  const [sx, sy] = [size.widthPx / next.widthPx, size.heightPx / next.heightPx];
  const x = turnOver ? -k : k;
  return [
    [sx * x, 0, sx * (next.widthPx / 2 - (x * baseline.widthPx) / 2)],
    [0, sy * k, sy * (next.heightPx / 2 - (k * baseline.heightPx) / 2)],
    [0, 0, 1],
  ];
}

function moved({ outline, holes }: OutlineRegion, h: Matrix3): OutlineRegion {
  const at = ([x, y]: XY): XY => {
    const p = applyHomography(h, imagePoint(x, y));
    return [p.x, p.y];
  };
  return { outline: outline.map(at), holes: holes.map((hole) => hole.map(at)) };
}

function overlay({ rgb, widthPx, heightPx }: Laid, cover: Uint8Array, lines: Uint8Array): Uint8Array {
  const rgba = new Uint8Array(4 * cover.length);
  for (let i = 0; i < cover.length; i++) {
    if (!cover[i]) continue;
    rgba.set(rgb.subarray(3 * i, 3 * i + 3), 4 * i);
    rgba[4 * i + 3] = SEEN;
  }
  const size = { widthPx, heightPx };
  draw(rgba, size, lines, 2, DARK);
  draw(rgba, size, lines, 0.9, PALE);
  return rgba;
}

/** Every pixel within `radiusPx` of a line. */
function draw(
  rgba: Uint8Array,
  { widthPx, heightPx }: Size,
  lines: Uint8Array,
  radiusPx: number,
  colour: readonly [number, number, number, number],
): void {
  const reach = Math.ceil(radiusPx);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      if (!lines[y * widthPx + x]) continue;
      for (let j = -reach; j <= reach; j++) {
        for (let i = -reach; i <= reach; i++) {
          if (Math.hypot(i, j) > radiusPx) continue;
          const [px, py] = [x + i, y + j];
          if (px >= 0 && py >= 0 && px < widthPx && py < heightPx) rgba.set(colour, 4 * (py * widthPx + px));
        }
      }
    }
  }
}
