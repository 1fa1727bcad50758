import { type MarkerKind, type ScaleId, scaleOfCode } from "@samescale/marker";
import { mapped, type Quadrangle } from "../../label/quadrangle.ts";
import { scan } from "../../label/scanner.ts";
import { turnedCrop } from "../../label/turned-crop.ts";
import { type EdgeReading, middleNumber } from "../edge-reading.ts";
import type { Level } from "../search/pyramid.ts";

/** The code of one of our own scales, where it was seen. */
export interface MarkerSeen {
  readonly id: ScaleId;
  readonly kind: MarkerKind;
  /** The code's own corners in pixels of the picture: top left, top right, bottom right, bottom left. */
  readonly corners: Quadrangle;
  readonly mirrored: boolean;
}

/** Our codes lie no further than this from the graduations, a few hidden ones included; in units of a graduation. */
const REACH = 28;
/** Code modules are 0.56 mm and more: four pixels a module. */
const PX_PER_GRADUATION = 7;
/** The rows with most graduations: others are what they cross. */
const MOST_EDGES = 4;
/** A row of fewer graduations is no scale of ours that could be read. */
const FEWEST = 10;

/**
 * Codes of our own scales beside rows of graduations. Only there: to look for codes all over a large picture takes
 * as long as reading its scale.
 */
export async function codesBeside(
  levels: readonly Level[],
  edges: readonly EdgeReading[],
): Promise<MarkerSeen[]> {
  const seen: MarkerSeen[] = [];
  const rows = edges
    .filter(({ row, marks }) => marks === "bars" && row.graduations.length >= FEWEST)
    .sort((a, b) => b.row.graduations.length - a.row.graduations.length)
    .slice(0, MOST_EDGES);
  for (const edge of rows) {
    for (const marker of await codesRound(levels, edge)) {
      const [x, y] = marker.corners[0];
      const known = seen.some(
        ({ id, corners: [[u, v]] }) => id === marker.id && Math.hypot(u - x, v - y) < 8,
      );
      if (!known) seen.push(marker);
    }
  }
  return seen;
}

/** In a crop turned along the row, so large that the code's modules can be told apart and no larger. */
async function codesRound(levels: readonly Level[], { row }: EdgeReading): Promise<MarkerSeen[]> {
  const { strip, lattice, graduations } = row;
  const [first, last] = [graduations[0]!, graduations.at(-1)!].map(({ s }) => strip.at(s, 0));
  const pitch = Math.abs(lattice.spacing(middleNumber(row)));
  const level = levels.findLast((one) => one.scale * PX_PER_GRADUATION <= pitch) ?? levels[0]!;
  const lengthPx = Math.hypot(last!.x - first!.x, last!.y - first!.y);
  const crop = turnedCrop(
    level,
    {
      centre: {
        x: (first!.x + last!.x) / 2 / level.scale,
        y: (first!.y + last!.y) / 2 / level.scale,
      },
      deg: (Math.atan2(last!.y - first!.y, last!.x - first!.x) * 180) / Math.PI,
      widthPx: (lengthPx + 2 * REACH * pitch) / level.scale,
      heightPx: (2 * REACH * pitch) / level.scale,
    },
    Math.min(1, (PX_PER_GRADUATION * level.scale) / pitch),
  );
  const hits = await scan(crop, ["DataMatrix"], "once");
  return hits.flatMap(({ text, corners, mirrored }) => {
    const scale = scaleOfCode(text);
    if (!scale) return [];
    const inPicture = mapped(corners, (point) => {
      const [x, y] = crop.toPicture(point);
      return [x * level.scale, y * level.scale];
    });
    const [tl, tr, br, bl] = inPicture;
    // The library names a mirrored symbol's corners as if it had been turned over its other diagonal.
    return [{ ...scale, corners: mirrored ? [br, tr, tl, bl] : inPicture, mirrored }];
  });
}
