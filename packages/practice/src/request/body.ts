/** What the browser runs too: the body outline, where a mark lies in words, the places that have a name. */
export {
  BODY_CHART_NAMES,
  type BodyChart,
  type BodyChartName,
  type BodyMark,
  bodyChart,
  sayMark,
} from "./body-chart.ts";
export { type ChartRegion, chartRegions } from "./chart-regions.ts";
export { isOnOtherSide, type MarkedPart, partOfMark } from "./part-of-mark.ts";
