import { CHART_COLUMNS, CHART_ROWS, FIRST_NEUTRAL } from "./chart24.ts";
import { type Correction, toned } from "./correction.ts";
import { deltaE00 } from "./delta-e00.ts";
import { fitCorrection } from "./fit-correction.ts";
import { leastSquares } from "./least-squares.ts";
import { isUsed, type MeasuredPatch } from "./measured-patch.ts";
import {
  labD50ToLinear,
  labToXyz,
  linearToLabD50,
  luminanceOf,
  srgbToLinear,
  type Triple,
  WHITE_D50,
} from "./space.ts";
import { visibility, visibleDifference } from "./visible-difference.ts";

/**
 * How many stops the picture is brighter (+) or darker (−) than the chart's greys should be: the median over the
 * greys that kept their detail, of the file's values as they are. Null without any.
 */
export function exposureStops(patches: readonly MeasuredPatch[]): number | null {
  const stops = patches.slice(FIRST_NEUTRAL).flatMap((patch) => {
    if (!isUsed(patch)) return [];
    const [r, g, b] = patch.seen!.mean;
    const y = luminanceOf([srgbToLinear(r), srgbToLinear(g), srgbToLinear(b)]);
    return y > 0 ? [Math.log2(y / labToXyz(patch.labD50, WHITE_D50)[1])] : [];
  });
  stops.sort((a, b) => a - b);
  return stops[Math.floor(stops.length / 2)] ?? null;
}

/** How the light changes over the chart. The correction removes none of it. */
export interface LightOverChart {
  /** Brightest over darkest corner, minus 1. */
  readonly falloff: number;
  /** How different (ΔE00) the same mid grey looks in two opposite corners when their brightness is made equal. */
  readonly colourChange: number;
}

/**
 * A plane of log light for each channel, fitted together with a matrix: fitted after it, the matrix would already have
 * taken a part, as the greys lie in one row and the light patches in one corner.
 */
export function lightOverChart(patches: readonly MeasuredPatch[], { tone }: Correction): LightOverChart {
  const places = patches.flatMap((patch, i) => {
    if (!isUsed(patch)) return [];
    const [r, g, b] = patch.seen!.mean;
    const value = (v: number) => Math.min(1, Math.max(0, toned(v, tone)));
    const coded: Triple = [value(r), value(g), value(b)];
    return [
      {
        coded,
        linear: coded.map(srgbToLinear),
        u: (i % CHART_COLUMNS) - (CHART_COLUMNS - 1) / 2,
        v: Math.floor(i / CHART_COLUMNS) - (CHART_ROWS - 1) / 2,
        labD50: patch.labD50,
        scale: visibility(patch.labD50),
      },
    ];
  });
  const start = fitCorrection({ kind: "linear", withTone: false }, places);
  // 9 numbers of the matrix, then the slopes along and down of R, G, B
  const residualsOf = (p: readonly number[]): number[] =>
    places.flatMap(({ u, v, linear, labD50, scale }) => {
      const lit = linear.map((value, c) => value * Math.exp(-(p[9 + 2 * c]! * u + p[10 + 2 * c]! * v)));
      const row = (r: number) => p[3 * r]! * lit[0]! + p[3 * r + 1]! * lit[1]! + p[3 * r + 2]! * lit[2]!;
      return visibleDifference(linearToLabD50([row(0), row(1), row(2)]), labD50, scale);
    });
  const fitted = leastSquares(residualsOf, [...start.matrix.flat(), 0, 0, 0, 0, 0, 0]);
  const slopes = [0, 1, 2].map((c) => [fitted[9 + 2 * c]!, fitted[10 + 2 * c]!] as const);
  return describe(slopes);
}

const MID_GREY = labD50ToLinear([50, 0, 0])[1];

function describe(slopes: readonly (readonly [along: number, down: number])[]): LightOverChart {
  const common = [0, 1].map((axis) => luminanceOf([slopes[0]![axis]!, slopes[1]![axis]!, slopes[2]![axis]!]));
  const [along, down] = [common[0]!, common[1]!];
  const [acrossCells, downCells] = [CHART_COLUMNS - 1, CHART_ROWS - 1];
  const greyAt = (u: number, v: number) => {
    const channel = (c: number) =>
      MID_GREY * Math.exp((slopes[c]![0] - along) * u + (slopes[c]![1] - down) * v);
    const rgb: Triple = [channel(0), channel(1), channel(2)];
    return linearToLabD50(rgb);
  };
  const [u, v] = [acrossCells / 2, downCells / 2];
  return {
    falloff: Math.exp(Math.abs(along) * acrossCells + Math.abs(down) * downCells) - 1,
    colourChange: Math.max(deltaE00(greyAt(-u, -v), greyAt(u, v)), deltaE00(greyAt(-u, v), greyAt(u, -v))),
  };
}
