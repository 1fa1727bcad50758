import type { UprightPicture } from "../../decode/picture.ts";
import { type Region, regionsUpTo } from "./flat-regions.ts";
import { largestSteps } from "./flat-steps.ts";

/** A flat-coloured region that could be one patch of a chart. Coordinates with the pixel's centre at +0.5. */
export interface PatchCandidate {
  readonly x: number;
  readonly y: number;
  readonly areaPx: number;
  /** Square root of the area: the side, were it a square. */
  readonly sidePx: number;
  /** Covariance of its pixels' positions: its size, turn and slant. */
  readonly spread: readonly [xx: number, xy: number, yy: number];
}

/**
 * Largest step between neighbours, in code values, that still counts as flat. Several, because one picture holds
 * noisy flats (high sensitivity) and weak edges (a light patch on white card); the region keeps the step that shows it best.
 */
const FLAT_STEPS = [5, 10, 20, 36];

/** Fewer pixels than 5 × 5 say nothing about shape. */
const MIN_AREA_PX = 25;

/** A chart that fills the picture has patches of about 1/35 of it; a patch larger than this cannot have 23 others beside it. */
const MAX_AREA_SHARE = 1 / 24;

/**
 * Area over 12 √det(covariance): 1 for every square seen from anywhere (affine), 0.87 for a triangle, 1.05 for
 * an ellipse, far below for anything that is not compact. Eroded and noisy patches fall a little below 1.
 */
const MIN_COMPACTNESS = 0.86;
const MAX_COMPACTNESS = 1.07;

/** A square leaning by 70° shows 1 : 2.9; thinner regions are lines, gaps and pens. */
const MAX_ELONGATION = 3;

/** Finds compact flat-coloured regions, at several steps of what counts as flat; overlapping finds are merged. */
export function patchCandidates(picture: UprightPicture): PatchCandidate[] {
  const { widthPx, heightPx } = picture;
  const steps = largestSteps(picture);
  const maxArea = widthPx * heightPx * MAX_AREA_SHARE;
  const found = FLAT_STEPS.flatMap((flat) =>
    regionsUpTo(steps, widthPx, heightPx, flat).flatMap((region) => candidateOf(region, maxArea) ?? []),
  );
  return merged(found);
}

type Find = PatchCandidate & { readonly fault: number };

/** The region as a candidate, when it is compact and no line. */
function candidateOf({ count: n, x, y, xx, xy, yy }: Region, maxArea: number): Find | null {
  if (n < MIN_AREA_PX || n > maxArea) return null;
  const [mx, my] = [x / n, y / n];
  // + 1/12: each pixel is a small square, not a point
  const [vxx, vyy, vxy] = [xx / n - mx * mx + 1 / 12, yy / n - my * my + 1 / 12, xy / n - mx * my];
  const det = vxx * vyy - vxy * vxy;
  const compactness = n / (12 * Math.sqrt(det));
  if (!(compactness >= MIN_COMPACTNESS && compactness <= MAX_COMPACTNESS)) return null;
  const half = (vxx + vyy) / 2;
  const spread = Math.sqrt(Math.max(0, half * half - det));
  if (half + spread > MAX_ELONGATION ** 2 * (half - spread)) return null;
  return {
    x: mx + 0.5,
    y: my + 0.5,
    areaPx: n,
    sidePx: Math.sqrt(n),
    spread: [vxx, vxy, vyy],
    fault: Math.abs(1 - compactness),
  };
}

/** Of finds that lie on each other the most nearly square one stays. */
function merged(found: readonly Find[]): PatchCandidate[] {
  const kept: PatchCandidate[] = [];
  const CELL_PX = 32;
  const cells = new Map<string, PatchCandidate[]>();
  for (const one of found.toSorted((a, b) => a.fault - b.fault)) {
    const [cx, cy] = [Math.floor(one.x / CELL_PX), Math.floor(one.y / CELL_PX)];
    const reach = Math.ceil((one.sidePx * 0.4) / CELL_PX);
    let twin = false;
    for (let j = -reach; j <= reach && !twin; j++) {
      for (let i = -reach; i <= reach && !twin; i++) {
        twin = (cells.get(`${cx + i},${cy + j}`) ?? []).some(
          (k) =>
            Math.hypot(k.x - one.x, k.y - one.y) < 0.4 * Math.min(k.sidePx, one.sidePx) &&
            Math.max(k.areaPx, one.areaPx) < 2 * Math.min(k.areaPx, one.areaPx),
        );
      }
    }
    if (twin) continue;
    kept.push(one);
    const cell = cells.get(`${cx},${cy}`);
    if (cell) cell.push(one);
    else cells.set(`${cx},${cy}`, [one]);
  }
  return kept;
}
