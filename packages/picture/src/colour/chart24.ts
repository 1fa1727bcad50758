import type { ChartEdition } from "../colour-answers.ts";
import type { Lab } from "./delta-e00.ts";

/**
 * The 24-patch colour rendition chart, 6 × 4, in reading order from dark skin to black: the maker's reference
 * values, CIE L*a*b*, illuminant D50, 2 degree observer, for charts made before and since November 2014. The two
 * editions differ by 0.85 ΔE00 on average, most on white (1.95).
 *
 * @source Chart24LabD50 (the maker's tables, as carried in the colour-science library; blue sky b* of the older
 * edition after the maker's own xyY, -21.925)
 */
export interface ChartPatch {
  readonly name: string;
  readonly labD50: Readonly<Record<ChartEdition, Lab>>;
}

export const CHART_COLUMNS = 6;
export const CHART_ROWS = 4;
/** Patches 19 to 24, white to black. */
export const FIRST_NEUTRAL = 18;

const patch = (name: string, before: Lab, after: Lab): ChartPatch => ({
  name,
  labD50: { "before-2014": before, "after-2014": after },
});

/** The 24 reference values of an edition, in order. */
export const publishedLabD50 = (edition: ChartEdition): Lab[] =>
  CHART24.map((patch) => patch.labD50[edition]);

export const CHART24: readonly ChartPatch[] = [
  patch("dark skin", [37.986, 13.555, 14.059], [37.54, 14.37, 14.92]),
  patch("light skin", [65.711, 18.13, 17.81], [64.66, 19.27, 17.5]),
  patch("blue sky", [49.927, -4.88, -21.925], [49.32, -3.82, -22.54]),
  patch("foliage", [43.139, -13.095, 21.905], [43.46, -12.74, 22.72]),
  patch("blue flower", [55.112, 8.844, -25.399], [54.94, 9.61, -24.79]),
  patch("bluish green", [70.719, -33.397, -0.199], [70.48, -32.26, -0.37]),
  patch("orange", [62.661, 36.067, 57.096], [62.73, 35.83, 56.5]),
  patch("purplish blue", [40.02, 10.41, -45.964], [39.43, 10.75, -45.17]),
  patch("moderate red", [51.124, 48.239, 16.248], [50.57, 48.64, 16.67]),
  patch("purple", [30.325, 22.976, -21.587], [30.1, 22.54, -20.87]),
  patch("yellow green", [72.532, -23.709, 57.255], [71.77, -24.13, 58.19]),
  patch("orange yellow", [71.941, 19.363, 67.857], [71.51, 18.24, 67.37]),
  patch("blue", [28.778, 14.179, -50.297], [28.37, 15.42, -49.8]),
  patch("green", [55.261, -38.342, 31.37], [54.38, -39.72, 32.27]),
  patch("red", [42.101, 53.378, 28.19], [42.43, 51.05, 28.62]),
  patch("yellow", [81.733, 4.039, 79.819], [81.8, 2.67, 80.41]),
  patch("magenta", [51.935, 49.986, -14.574], [50.63, 51.28, -14.12]),
  patch("cyan", [51.038, -28.631, -28.638], [49.57, -29.71, -28.32]),
  patch("white 9.5", [96.539, -0.425, 1.186], [95.19, -1.03, 2.93]),
  patch("neutral 8", [81.257, -0.638, -0.335], [81.29, -0.57, 0.44]),
  patch("neutral 6.5", [66.766, -0.734, -0.504], [66.89, -0.75, -0.06]),
  patch("neutral 5", [50.867, -0.153, -0.27], [50.76, -0.13, 0.14]),
  patch("neutral 3.5", [35.656, -0.421, -1.231], [35.63, -0.46, -0.48]),
  patch("black 2", [20.461, -0.079, -0.973], [20.64, 0.07, -0.46]),
];
