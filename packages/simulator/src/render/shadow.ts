import type { Mark, Ring } from "../artwork/mark.ts";
import { rect } from "../artwork/shapes.ts";
import type { Lamp, Light } from "../light/light.ts";
import { Coverage } from "../raster/coverage.ts";

const RAD = Math.PI / 180;
/** Shadows softer and fainter than this are not seen. */
const LEAST_STRENGTH = 0.03;
const MOST_CELLS = 60_000;

/** What throws a shadow. */
export interface Caster {
  readonly rings: readonly Ring[];
  /** Above the surface that the shadow falls on. */
  readonly heightMm: number;
  /** 1 = lets no light through. */
  readonly opacity: number;
  /** Its turn on the surface, to bring lamp directions into its own axes. */
  readonly turnDeg: number;
}

/** A thing no higher than this hides the ground straight below it wherever the lens stands. */
const FLAT_MM = 1.5;

/**
 * The shadows that a flat thing throws on the surface below it: one per lamp, moved away from the lamp by
 * height / tan(elevation), softened by the lamp's apparent size, and one of contact. In the thing's own millimetres.
 */
export function shadowMarks(caster: Caster, light: Light): Mark[] {
  const { heightMm } = caster;
  const total = light.ambient.level + light.lamps.reduce((sum, lamp) => sum + lamp.level, 0);
  const marks: Mark[] = [];
  // More than two lamps stand round the lens and count as light from all round.
  const merged = light.lamps.length > 2;
  if (!merged) for (const lamp of light.lamps) marks.push(...lampShadow(caster, lamp, lamp.level / total));
  const around = (light.ambient.level + (merged ? total - light.ambient.level : 0)) / total;
  marks.push(...softShadow(caster, 0, 0, 0.35 + heightMm * 0.5, Math.min(0.6, 0.18 + 0.4 * around)));
  return marks;
}

function lampShadow(caster: Caster, lamp: Lamp, share: number): Mark[] {
  const { heightMm, turnDeg } = caster;
  const throwMm = heightMm / Math.tan(lamp.elevationDeg * RAD);
  const away = (lamp.fromDeg + 180 - turnDeg) * RAD;
  const path = heightMm / Math.sin(lamp.elevationDeg * RAD);
  const softness = 0.12 + (path * lamp.sizeMm) / lamp.distanceMm / 2;
  return softShadow(caster, throwMm * Math.cos(away), throwMm * Math.sin(away), softness, share);
}

function softShadow(caster: Caster, dx: number, dy: number, softnessMm: number, share: number): Mark[] {
  const { rings, opacity, heightMm } = caster;
  const strength = share * opacity;
  if (strength < LEAST_STRENGTH) return [];
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const ring of rings) {
    for (let i = 0; i < ring.length; i += 2) {
      left = Math.min(left, ring[i]!);
      right = Math.max(right, ring[i]!);
      top = Math.min(top, ring[i + 1]!);
      bottom = Math.max(bottom, ring[i + 1]!);
    }
  }
  const margin = softnessMm * 3 + 0.5;
  left -= margin;
  top -= margin;
  right += margin;
  bottom += margin;
  const cell = Math.max(softnessMm / 2.5, Math.sqrt(((right - left) * (bottom - top)) / MOST_CELLS));
  const columns = Math.ceil((right - left) / cell) + 2;
  const rows = Math.ceil((bottom - top) / cell) + 2;
  const sharp = maskOf(rings, left, top, cell, columns, rows);
  const mask = blurred(sharp.slice(), columns, rows, softnessMm / cell);
  const covered =
    opacity === 1 && heightMm <= FLAT_MM ? maskOf(rings, left + dx, top + dy, cell, columns, rows) : null;
  const perCell = 1 / cell;
  return [
    {
      rings: neededTiles(mask, covered, columns, rows).map(([i0, j0, i1, j1]) =>
        rect(left + dx + i0 * cell, top + dy + j0 * cell, left + dx + i1 * cell, top + dy + j1 * cell),
      ),
      fill: {
        kind: "stain",
        shade(x, y, out) {
          const u = (x - dx - left) * perCell - 0.5;
          const v = (y - dy - top) * perCell - 0.5;
          const i = u <= 0 ? 0 : u >= columns - 1.001 ? columns - 2 : u | 0;
          const j = v <= 0 ? 0 : v >= rows - 1.001 ? rows - 2 : v | 0;
          const k = j * columns + i;
          const fu = u - i;
          const fv = v - j;
          const a = mask[k]! + (mask[k + 1]! - mask[k]!) * fu;
          const b = mask[k + columns]! + (mask[k + columns + 1]! - mask[k + columns]!) * fu;
          const dark = strength * (a + (b - a) * fv);
          // Light that skin scatters sideways fills a shadow with red.
          out[0] = 1 - dark * 0.9;
          out[1] = 1 - dark;
          out[2] = 1 - dark;
        },
      },
    },
  ];
}

type Tile = readonly [i0: number, j0: number, i1: number, j1: number];

const TILE = 6;

/** The parts of the grid that a shadow darkens and that the thing itself does not hide, as rows of tiles. */
function neededTiles(
  mask: Float32Array,
  covered: Float32Array | null,
  columns: number,
  rows: number,
): Tile[] {
  const tiles: Tile[] = [];
  for (let j0 = 0; j0 < rows; j0 += TILE) {
    const j1 = Math.min(rows, j0 + TILE);
    let from = -1;
    for (let i0 = 0; i0 < columns + TILE; i0 += TILE) {
      const needed =
        i0 < columns && isNeeded(mask, covered, columns, i0, j0, Math.min(columns, i0 + TILE), j1);
      if (needed && from < 0) from = i0;
      if (!needed && from >= 0) {
        tiles.push([from, j0, Math.min(columns, i0), j1]);
        from = -1;
      }
    }
  }
  return tiles;
}

function isNeeded(
  mask: Float32Array,
  covered: Float32Array | null,
  columns: number,
  i0: number,
  j0: number,
  i1: number,
  j1: number,
): boolean {
  let dark = false;
  let open = false;
  // Two cells more round about, for the bilinear reading and for the lens looking in from the side.
  for (let j = Math.max(0, j0 - 2); j <= j1 + 1 && j * columns < mask.length; j++) {
    for (let i = Math.max(0, i0 - 2); i <= Math.min(columns - 1, i1 + 1); i++) {
      const k = j * columns + i;
      if (mask[k]! > 0.004) dark = true;
      if (!covered || covered[k]! < 0.999) open = true;
      if (dark && open) return true;
    }
  }
  return false;
}

function maskOf(
  rings: readonly Ring[],
  left: number,
  top: number,
  cell: number,
  columns: number,
  rows: number,
): Float32Array {
  const coverage = new Coverage();
  coverage.open(0, 0, columns, rows);
  for (const ring of rings) {
    coverage.add(ring.map((value, i) => (value - (i % 2 === 0 ? left : top)) / cell));
  }
  const out = new Float32Array(columns * rows);
  for (let j = 0; j < rows; j++) coverage.row(j, out.subarray(j * columns, (j + 1) * columns));
  return out;
}

/** Three box means in a row stand for a Gaussian of standard deviation `sigma` cells. */
function blurred(mask: Float32Array, columns: number, rows: number, sigma: number): Float32Array {
  const reach = Math.max(1, Math.round(sigma));
  const other = new Float32Array(mask.length);
  for (let pass = 0; pass < 3; pass++) {
    boxMean(mask, other, columns, rows, 1, columns, reach);
    boxMean(other, mask, rows, columns, columns, 1, reach);
  }
  return mask;
}

function boxMean(
  from: Float32Array,
  to: Float32Array,
  length: number,
  lines: number,
  step: number,
  lineStep: number,
  reach: number,
): void {
  const weight = 1 / (2 * reach + 1);
  for (let line = 0; line < lines; line++) {
    const base = line * lineStep;
    let sum = 0;
    for (let i = -reach; i < length; i++) {
      if (i + reach < length) sum += from[base + (i + reach) * step]!;
      if (i - reach - 1 >= 0) sum -= from[base + (i - reach - 1) * step]!;
      if (i >= 0) to[base + i * step] = sum * weight;
    }
  }
}
