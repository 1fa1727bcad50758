import { outOfRange, requirePositive } from "./check.ts";
import type { Field } from "./field.ts";
import { FRAME_36X24 } from "./sensor.ts";

/** One line of a flash's own table: the head's zoom setting and the guide number measured or stated there. */
export interface ZoomHeadEntry {
  readonly zoomMm: number;
  readonly guideNumberM: number;
}

/**
 * Guide number of a zoom head at one of its settings, in metres, at the table's ISO. Between two entries it
 * is interpolated along a straight line in the logarithms; outside the table nothing is guessed. No formula
 * replaces the table: in theory twice the setting gives twice the guide number, in reality far less.
 * Faults: an empty table, values not above 0, a setting outside it.
 * @source ZoomHeads (theory against practice); the interpolation is our own
 * @example guideNumberAtZoom([{ zoomMm: 35, guideNumberM: 30 }, { zoomMm: 105, guideNumberM: 50 }], 35) // 30
 */
export function guideNumberAtZoom(table: readonly ZoomHeadEntry[], zoomMm: number): number {
  requirePositive("zoomMm", zoomMm);
  const entries = table
    .map((entry) => ({
      zoomMm: requirePositive("zoomMm", entry.zoomMm),
      guideNumberM: requirePositive("guideNumberM", entry.guideNumberM),
    }))
    .sort((a, b) => a.zoomMm - b.zoomMm);
  const above = entries.find((entry) => entry.zoomMm >= zoomMm);
  const below = entries.findLast((entry) => entry.zoomMm <= zoomMm);
  if (!above || !below) {
    const [first, last] = [entries[0], entries.at(-1)];
    throw outOfRange(
      first && last ? `zoomMm from ${first.zoomMm} to ${last.zoomMm}` : "a table with at least one entry",
      zoomMm,
    );
  }
  if (above.zoomMm === below.zoomMm) return below.guideNumberM;
  const part = Math.log(zoomMm / below.zoomMm) / Math.log(above.zoomMm / below.zoomMm);
  return below.guideNumberM * (above.guideNumberM / below.guideNumberM) ** part;
}

/**
 * The longest zoom setting whose beam still covers a field from `distanceMm`, in mm: a setting of z lights
 * what a lens of z mm shows on 36 x 24 mm from far away, 36 d/z by 24 d/z. Long side along long side, flash
 * square on; a flash from the side needs a wider one. Faults: anything not above 0. That settings are named
 * for the 36 x 24 mm frame is common practice, no source; the rest is geometry.
 * @example longestCoveringZoomMm({ widthMm: 360, heightMm: 200 }, 1000) // 100
 */
export function longestCoveringZoomMm(field: Field, distanceMm: number): number {
  requirePositive("distanceMm", distanceMm);
  const sides = [requirePositive("widthMm", field.widthMm), requirePositive("heightMm", field.heightMm)];
  const { widthMm, heightMm } = FRAME_36X24;
  return distanceMm * Math.min(widthMm / Math.max(...sides), heightMm / Math.min(...sides));
}
