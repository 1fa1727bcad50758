import { seededRandom } from "@samescale/geometry";
import { ink, type Mark, type Rgb, type Ring } from "../artwork/mark.ts";
import { stroke } from "../artwork/shapes.ts";
import { rgb8 } from "../colour/colour.ts";
import { hash2, smoothNoise, smoothstep } from "../noise/hash.ts";
import type { Extent } from "./mottling.ts";
import type { Skin } from "./skin.ts";
import { MELANIN, moleDepth, type SkinTone } from "./tone.ts";

/** A hole in the skin's own marks: hairs and moles do not grow there. */
export type Bare = (x: number, y: number) => boolean;

const MOLE_CELL_MM = 30;
const LARGEST_MOLE_MM = 2.6;
const HAIR_WIDTH_MM = 0.06;
const HAIR_CELL_MM = 10;

/**
 * Moles, freckles and hairs of a patient within an extent of the surface. Each belongs to a cell of the surface and
 * hangs on the patient's seed alone, so every visit and every field of view shows the same ones.
 */
export function landmarksOf(skin: Skin, extent: Extent, pxPerMm: number, bare: Bare): Mark[] {
  const marks: Mark[] = [];
  if (LARGEST_MOLE_MM * pxPerMm > 0.7)
    forCells(extent, MOLE_CELL_MM, (i, j) => marks.push(...spotsOf(skin, i, j, pxPerMm, bare)));
  const hairs: Ring[] = [];
  // Thinner than this, hairs no longer darken a pixel.
  if (skin.hairs > 0 && HAIR_WIDTH_MM * pxPerMm > 0.06)
    forCells(extent, HAIR_CELL_MM, (i, j) => hairs.push(...hairsOf(skin, i, j, bare)));
  if (hairs.length > 0) marks.push(ink(hairs, HAIR[skin.tone], 0.72));
  return marks;
}

function forCells(extent: Extent, cell: number, visit: (i: number, j: number) => void): void {
  // One more cell round about: a landmark may reach out of its own.
  for (let j = Math.floor(extent.top / cell) - 1; j <= extent.bottom / cell + 1; j++) {
    for (let i = Math.floor(extent.left / cell) - 1; i <= extent.right / cell + 1; i++) visit(i, j);
  }
}

const HAIR: Readonly<Record<SkinTone, Rgb>> = {
  1: rgb8(150, 112, 70),
  2: rgb8(96, 68, 46),
  3: rgb8(58, 42, 32),
  4: rgb8(36, 28, 24),
  5: rgb8(22, 18, 17),
  6: rgb8(12, 10, 10),
};

function spotsOf(skin: Skin, i: number, j: number, pxPerMm: number, bare: Bare): Mark[] {
  const run = seededRandom(hash2(i, j, skin.seed + 51));
  const marks: Mark[] = [];
  const moles = countOf(0.42 * skin.moles, run());
  const freckles = countOf((skin.tone <= 3 ? 3.4 : 1.2) * skin.moles, run());
  for (let k = 0; k < moles + freckles; k++) {
    const x = (i + run()) * MOLE_CELL_MM;
    const y = (j + run()) * MOLE_CELL_MM;
    const mole = k < moles;
    const radius = mole ? 0.7 + 1.9 * run() ** 2.2 : 0.25 + 0.55 * run();
    const depth = mole ? moleDepth(skin.tone) * (0.7 + 0.6 * run()) : 0.1 + 0.22 * run();
    const seed = hash2(i * 31 + k, j, skin.seed + 52);
    if (radius * pxPerMm < 0.7 || bare(x, y)) continue;
    marks.push(spot(x, y, radius, depth, mole ? 0.35 : 0.6, seed));
  }
  return marks;
}

/** Poisson count with the given mean from one random number. */
function countOf(mean: number, u: number): number {
  let p = Math.exp(-mean);
  let sum = p;
  let n = 0;
  while (u > sum && n < 40) {
    n++;
    p *= mean / n;
    sum += p;
  }
  return n;
}

/** A round spot of pigment with an uneven outline; `softness` is the share of the radius over which it fades. */
export function spot(
  cx: number,
  cy: number,
  radius: number,
  depth: number,
  softness: number,
  seed: number,
): Mark {
  const reach = radius * 1.5;
  const shade = (x: number, y: number, out: Float64Array): void => {
    const dx = x - cx;
    const dy = y - cy;
    const uneven = 1 + 0.22 * smoothNoise((dx / radius) * 0.9, (dy / radius) * 0.9, seed);
    const rho = Math.hypot(dx * 1.08, dy) / (radius * uneven);
    const grain = 1 + 0.25 * smoothNoise(x * 3.1, y * 3.1, seed + 1);
    const k = depth * grain * (1 - smoothstep(1 - softness, 1 + softness * 0.5, rho));
    out[0] = Math.exp(-k * MELANIN[0]);
    out[1] = Math.exp(-k * MELANIN[1]);
    out[2] = Math.exp(-k * MELANIN[2]);
  };
  return {
    rings: [
      Float64Array.of(
        cx - reach,
        cy - reach,
        cx + reach,
        cy - reach,
        cx + reach,
        cy + reach,
        cx - reach,
        cy + reach,
      ),
    ],
    fill: { kind: "stain", shade },
  };
}

function hairsOf(skin: Skin, i: number, j: number, bare: Bare): Ring[] {
  const run = seededRandom(hash2(i, j, skin.seed + 61));
  const count = countOf(skin.hairs * (HAIR_CELL_MM / 10) ** 2, run());
  const rings: Ring[] = [];
  for (let k = 0; k < count; k++) {
    const x = (i + run()) * HAIR_CELL_MM;
    const y = (j + run()) * HAIR_CELL_MM;
    const lie = 1.1 + 0.9 * smoothNoise(x / 60, y / 60, skin.seed + 62) + 0.7 * (run() - 0.5);
    const length = 3 + 7 * run();
    const curl = (run() - 0.5) * 0.9;
    const width = 0.045 + 0.035 * run();
    if (bare(x, y)) continue;
    const points: [number, number][] = [[x, y]];
    let [px, py, angle] = [x, y, lie];
    for (let s = 0; s < 6; s++) {
      px += (Math.cos(angle) * length) / 6;
      py += (Math.sin(angle) * length) / 6;
      angle += curl / 6;
      points.push([px, py]);
    }
    rings.push(...stroke(points, width, width * 0.35));
  }
  return rings;
}
