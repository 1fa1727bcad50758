/**
 * Points branded by the coordinate frame they live in (docs/frames.md). Only this file makes brands, so a
 * function that asks for millimetres in the subject's plane cannot be handed pixels.
 */
declare const frame: unique symbol;

/** Upright picture pixels: origin at the outer corner of the top left pixel, x right, y down. */
export type ImagePoint = { readonly x: number; readonly y: number } & { readonly [frame]: "upright-px" };

/** Pixels as the file stores them, before the EXIF orientation is applied; origin and axes as for upright ones. */
export type StoredPoint = { readonly x: number; readonly y: number } & { readonly [frame]: "stored-px" };

/** Millimetres in the plane of the scale: origin and turn are the reading's own. */
export type PlanePoint = { readonly x: number; readonly y: number } & { readonly [frame]: "plane-mm" };

/** Millimetres on the sensor, as the upright picture shows it: origin in the picture's middle, x right, y down. */
export type SensorPoint = { readonly x: number; readonly y: number } & { readonly [frame]: "sensor-mm" };

/** Millimetres on paper: origin at the printed picture's top left corner, x right, y down. */
export type PrintPoint = { readonly x: number; readonly y: number } & { readonly [frame]: "print-mm" };

/** Any point, where the frame does not matter (pure polygon geometry). */
export interface Point {
  readonly x: number;
  readonly y: number;
}

export const imagePoint = (x: number, y: number): ImagePoint => ({ x, y }) as ImagePoint;
export const storedPoint = (x: number, y: number): StoredPoint => ({ x, y }) as StoredPoint;
export const planePoint = (x: number, y: number): PlanePoint => ({ x, y }) as PlanePoint;
export const sensorPoint = (x: number, y: number): SensorPoint => ({ x, y }) as SensorPoint;
export const printPoint = (x: number, y: number): PrintPoint => ({ x, y }) as PrintPoint;
