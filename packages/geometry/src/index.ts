export type { Measured } from "./uncertainty/measured.ts";
export { type ImagePoint, imagePoint, type PlanePoint, type Point, planePoint } from "./units.ts";
