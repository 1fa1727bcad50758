import type { UprightPicture } from "../../decode/picture.ts";

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
  const steps = largestSteps(picture);
  const found: (PatchCandidate & { readonly fault: number })[] = [];
  for (const flat of FLAT_STEPS) regionsBelow(steps, picture.widthPx, picture.heightPx, flat, found);
  return merged(found);
}

/** For each pixel the largest step to its four neighbours, over the channels, after a 3 × 3 box. */
function largestSteps({ widthPx: w, heightPx: h, rgb }: UprightPicture): Uint8Array {
  const smooth = new Float32Array(w * h);
  const line = new Float32Array(w * h);
  const steps = new Uint8Array(w * h).fill(255);
  for (let c = 0; c < 3; c++) {
    for (let y = 0, i = 0; y < h; y++) {
      for (let x = 0; x < w; x++, i++) {
        const left = x > 0 ? i - 1 : i;
        const right = x < w - 1 ? i + 1 : i;
        line[i] = rgb[3 * left + c]! + rgb[3 * i + c]! + rgb[3 * right + c]!;
      }
    }
    for (let y = 0, i = 0; y < h; y++) {
      const up = y > 0 ? -w : 0;
      const down = y < h - 1 ? w : 0;
      for (let x = 0; x < w; x++, i++) smooth[i] = (line[i + up]! + line[i]! + line[i + down]!) / 9;
    }
    for (let y = 1; y < h - 1; y++) {
      for (let x = 1, i = y * w + 1; x < w - 1; x++, i++) {
        const step = Math.max(
          Math.abs(smooth[i + 1]! - smooth[i - 1]!),
          Math.abs(smooth[i + w]! - smooth[i - w]!),
        );
        if (c === 0 || step > steps[i]!) steps[i] = Math.min(255, Math.ceil(step));
      }
    }
  }
  return steps;
}

function regionsBelow(
  steps: Uint8Array,
  w: number,
  h: number,
  flat: number,
  found: (PatchCandidate & { readonly fault: number })[],
): void {
  const seen = new Uint8Array(w * h);
  const stack = new Int32Array(w * h);
  const maxArea = w * h * MAX_AREA_SHARE;
  for (let start = 0; start < steps.length; start++) {
    if (seen[start] || steps[start]! > flat) continue;
    let top = 0;
    stack[top++] = start;
    seen[start] = 1;
    let [n, sx, sy, sxx, sxy, syy] = [0, 0, 0, 0, 0, 0];
    while (top > 0) {
      const i = stack[--top]!;
      const y = Math.floor(i / w);
      const x = i - y * w;
      n++;
      sx += x;
      sy += y;
      sxx += x * x;
      sxy += x * y;
      syy += y * y;
      // The outermost rows and columns hold 255, so neighbours always exist.
      for (const next of [i - 1, i + 1, i - w, i + w]) {
        if (seen[next] || steps[next]! > flat) continue;
        seen[next] = 1;
        stack[top++] = next;
      }
    }
    if (n < MIN_AREA_PX || n > maxArea) continue;
    const [mx, my] = [sx / n, sy / n];
    // + 1/12: each pixel is a small square, not a point
    const [vxx, vyy, vxy] = [sxx / n - mx * mx + 1 / 12, syy / n - my * my + 1 / 12, sxy / n - mx * my];
    const det = vxx * vyy - vxy * vxy;
    const compactness = n / (12 * Math.sqrt(det));
    if (!(compactness >= MIN_COMPACTNESS && compactness <= MAX_COMPACTNESS)) continue;
    const half = (vxx + vyy) / 2;
    const spread = Math.sqrt(Math.max(0, half * half - det));
    if (half + spread > MAX_ELONGATION ** 2 * (half - spread)) continue;
    found.push({
      x: mx + 0.5,
      y: my + 0.5,
      areaPx: n,
      sidePx: Math.sqrt(n),
      spread: [vxx, vxy, vyy],
      fault: Math.abs(1 - compactness),
    });
  }
}

/** Of finds that lie on each other the most nearly square one stays. */
function merged(found: (PatchCandidate & { readonly fault: number })[]): PatchCandidate[] {
  const kept: PatchCandidate[] = [];
  const CELL_PX = 32;
  const cells = new Map<string, PatchCandidate[]>();
  for (const one of found.sort((a, b) => a.fault - b.fault)) {
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
