/**
 * Points branded by the coordinate frame they live in (docs/frames.md). Only this file makes brands, so a
 * function that asks for millimetres in the subject's plane cannot be handed pixels.
 */
declare const frame: unique symbol;

/** Upright picture pixels: origin at the outer corner of the top left pixel, x right, y down. */
export type ImagePoint = { readonly x: number; readonly y: number } & { readonly [frame]: "upright-px" };

/** Millimetres in the plane of the scale: origin and turn are the reading's own. */
export type PlanePoint = { readonly x: number; readonly y: number } & { readonly [frame]: "plane-mm" };

/** Any point, where the frame does not matter (pure polygon geometry). */
export interface Point {
  readonly x: number;
  readonly y: number;
}

export const imagePoint = (x: number, y: number): ImagePoint => ({ x, y }) as ImagePoint;
export const planePoint = (x: number, y: number): PlanePoint => ({ x, y }) as PlanePoint;
