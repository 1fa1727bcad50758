import { applyHomography, composeHomographies } from "@samescale/geometry";
import type { UprightPicture } from "../../decode/picture.ts";
import { CHART_COLUMNS, CHART_ROWS } from "../chart24.ts";
import { chartsIn, type SeenChart } from "./find-chart.ts";

export type Located =
  | { readonly found: true; readonly chart: SeenChart; readonly others: number }
  | { readonly found: false; readonly reason: string };

/**
 * What a lattice of colours must show to be called the chart. On photographs of the chart, printed copies, colour casts and
 * glare included, the colours explained 0.82 of the spread of hues or more; on chessboards, keyboards, tags and any other
 * pattern looked at, nothing or less than nothing. A placement shifted or turned by one patch explains nothing either.
 */
const MIN_HUE_EXPLAINED = 0.6;
/** Two thirds of the patches fitting perfectly, or all of them fitting moderately. */
const MIN_SCORE = 0.5;
const MIN_LEAD = 0.25;
/**
 * Two kinds of light on one chart bring its score down and its rival's up. Where the hues leave no doubt a smaller lead
 * does: rivals reach a score of 0.41 and explain 0.61 of the hues at most (100 rendered charts, seeds 20300 to 20499).
 */
const CLEAR_HUE = 0.8;
const MIN_CLEAR_LEAD = 0.15;
/** One stray patch-like thing beside the chart is chance; a row of them is a larger target. */
const MAX_BESIDE = 2;

/** Reductions tried, coarse first: noise and texture vanish, and a chart worth measuring is large in its picture. */
const REDUCTIONS = [3, 2, 1];
const SMALLEST_SIDE_PX = 600;
/** Four rows of patches of 5 px with their gaps. */
const NARROWEST_PX = 24;

/** Finds the 24-patch chart, or says why not. Positions are in pixels of the picture that is given. */
export function locateChart(picture: UprightPicture): Located {
  let larger = false;
  for (const by of REDUCTIONS) {
    if (by > 1 && Math.max(picture.widthPx, picture.heightPx) / by < SMALLEST_SIDE_PX) continue;
    if (Math.min(picture.widthPx, picture.heightPx) / by < NARROWEST_PX) continue;
    const convincing = chartsIn(reduced(picture, by)).filter(isConvincing);
    const charts = convincing.filter((chart) => chart.beside <= MAX_BESIDE);
    larger ||= convincing.length > charts.length;
    const [best, ...rest] = charts;
    if (!best) continue;
    const others = rest.filter((other) => !overlap(other, best)).length;
    return { found: true, chart: enlarged(best, by), others };
  }
  const reason = larger
    ? "a colour target with more than 24 patches; only the 24-patch chart is known here"
    : "no 24-patch colour chart was found";
  return { found: false, reason };
}

const isConvincing = (chart: SeenChart): boolean =>
  chart.hueExplained >= MIN_HUE_EXPLAINED &&
  chart.score >= MIN_SCORE &&
  chart.score - chart.runnerUp >= (chart.hueExplained >= CLEAR_HUE ? MIN_CLEAR_LEAD : MIN_LEAD);

/** Mean over blocks of `by` × `by` pixels; what is left over at the right and lower edge is dropped. */
function reduced(picture: UprightPicture, by: number): UprightPicture {
  if (by === 1) return picture;
  const [widthPx, heightPx] = [Math.floor(picture.widthPx / by), Math.floor(picture.heightPx / by)];
  const rgb = new Uint8Array(widthPx * heightPx * 3);
  const block = by * by;
  for (let y = 0, to = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      for (let c = 0; c < 3; c++, to++) {
        let sum = block >> 1;
        for (let j = 0; j < by; j++) {
          const from = 3 * ((y * by + j) * picture.widthPx + x * by) + c;
          for (let i = 0; i < by; i++) sum += picture.rgb[from + 3 * i]!;
        }
        rgb[to] = Math.floor(sum / block);
      }
    }
  }
  return { widthPx, heightPx, rgb };
}

/** Outer-corner coordinates: a reduced position times the reduction is the full one. */
function enlarged(chart: SeenChart, by: number): SeenChart {
  const scale = [
    [by, 0, 0],
    [0, by, 0],
    [0, 0, 1],
  ] as const;
  return {
    ...chart,
    cellsToPx: composeHomographies(scale, chart.cellsToPx),
    pitchPx: chart.pitchPx * by,
  };
}

function overlap(a: SeenChart, b: SeenChart): boolean {
  const middle = { x: (CHART_COLUMNS - 1) / 2, y: (CHART_ROWS - 1) / 2 };
  const p = applyHomography(a.cellsToPx, middle);
  const q = applyHomography(b.cellsToPx, middle);
  return Math.hypot(p.x - q.x, p.y - q.y) < 3 * Math.max(a.pitchPx, b.pitchPx);
}
