import type { Lab } from "../colour/colour.ts";

/**
 * The 24-patch colour chart, row by row from dark skin: CIE Lab (D50, 2 degree observer) as published by the chart's
 * maker for charts made before November 2014, carried over from an open colour library that lists them.
 * @source Chart24LabD50
 */
export const CHART_PATCHES: readonly { readonly name: string; readonly lab: Lab }[] = [
  { name: "dark skin", lab: [37.986, 13.555, 14.059] },
  { name: "light skin", lab: [65.711, 18.13, 17.81] },
  { name: "blue sky", lab: [49.927, -4.88, -21.925] },
  { name: "foliage", lab: [43.139, -13.095, 21.905] },
  { name: "blue flower", lab: [55.112, 8.844, -25.399] },
  { name: "bluish green", lab: [70.719, -33.397, -0.199] },
  { name: "orange", lab: [62.661, 36.067, 57.096] },
  { name: "purplish blue", lab: [40.02, 10.41, -45.964] },
  { name: "moderate red", lab: [51.124, 48.239, 16.248] },
  { name: "purple", lab: [30.325, 22.976, -21.587] },
  { name: "yellow green", lab: [72.532, -23.709, 57.255] },
  { name: "orange yellow", lab: [71.941, 19.363, 67.857] },
  { name: "blue", lab: [28.778, 14.179, -50.297] },
  { name: "green", lab: [55.261, -38.342, 31.37] },
  { name: "red", lab: [42.101, 53.378, 28.19] },
  { name: "yellow", lab: [81.733, 4.039, 79.819] },
  { name: "magenta", lab: [51.935, 49.986, -14.574] },
  { name: "cyan", lab: [51.038, -28.631, -28.638] },
  { name: "white 9.5 (.05 D)", lab: [96.539, -0.425, 1.186] },
  { name: "neutral 8 (.23 D)", lab: [81.257, -0.638, -0.335] },
  { name: "neutral 6.5 (.44 D)", lab: [66.766, -0.734, -0.504] },
  { name: "neutral 5 (.70 D)", lab: [50.867, -0.153, -0.27] },
  { name: "neutral 3.5 (1.05 D)", lab: [35.656, -0.421, -1.231] },
  { name: "black 2 (1.5 D)", lab: [20.461, -0.079, -0.973] },
];
