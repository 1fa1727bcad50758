/** The door for the browser: measuring drawn regions by a reading, as the worker threads do it. Numbers in, numbers out. */

export type {
  MeasureAnswer,
  OutlineRegion,
  ReadScale,
  RegionMeasurement,
  ScaleAnswer,
  ScaleFound,
} from "../answers.ts";
export type { OwnRepeats } from "./edge.ts";
export { type DrawnRegion, type Measurements, measureRegions, type PartSaid } from "./measure-regions.ts";
export { checkedRegions } from "./regions-from-json.ts";
