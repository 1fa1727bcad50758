import type { GraduationRow } from "../edge/graduations.ts";
import { middleNumber } from "../edge-reading.ts";
import type { Level } from "../search/pyramid.ts";
import { type Flat, flatten } from "./flat.ts";
import { type InkMarks, inkMarks } from "./marks.ts";

/** An edge laid flat and the marks beside its graduations. */
export interface Lettering {
  readonly flat: Flat;
  readonly marks: InkMarks;
}

interface Size {
  readonly perPitch: readonly [least: number, most: number];
  readonly reach: number;
  readonly groundReach: number;
  readonly heights: readonly [number, number];
  readonly mostGraduations: number;
}

/**
 * Numerals are 1.5 to 4.5 mm high (common practice, no source): several graduations where these are fine, a part of one
 * where they are centimetres or inches.
 */
const FINE: Size = {
  perPitch: [6, 12],
  reach: 13,
  groundReach: 2.5,
  heights: [0.45, 9],
  mostGraduations: 400,
};
const COARSE: Size = {
  perPitch: [40, 100],
  reach: 2.5,
  groundReach: 0.4,
  heights: [0.06, 0.45],
  mostGraduations: 45,
};

export function letteringOf(levels: readonly Level[], row: GraduationRow): Lettering[] {
  const pitchPx = Math.abs(row.lattice.spacing(middleNumber(row)));
  const all: Lettering[] = [];
  for (const size of [FINE, COARSE]) {
    if (row.graduations.at(-1)!.k - row.graduations[0]!.k > size.mostGraduations) continue;
    const [least, most] = size.perPitch;
    const flat = flatten(levels, row, {
      perPitch: Math.max(least, Math.min(most, pitchPx)),
      reach: size.reach,
      groundReach: size.groundReach,
    });
    const band = row.strip.band.map((o) => o / pitchPx) as [number, number];
    all.push({ flat, marks: inkMarks(flat, band, size.heights) });
  }
  return all;
}
