import type { Judged, LightSide } from "../look-answer.ts";
import { backdropCells } from "./backdrop.ts";
import { eroded } from "./cells.ts";
import { fitLight, type SmoothLight, stopsOf } from "./fit-light.ts";
import type { FrameParts } from "./parts-of-frame.ts";
import type { Reduced } from "./reduced.ts";

const CLEAR_OF_EDGE = 2;
const BURNT = 0.1;
/** Skin differs by itself from place to place over about a quarter of a subject: so many places speak for themselves. */
const INDEPENDENT = 16;
/** A direction less certain than this is none. */
const MOST_U95_DEG = 60;
/** Length of an evenly filled stretch, in deviations. */
const EXTENT_PER_SIGMA = Math.sqrt(12);
/** What the subject's own shape does to the direction, 95 %: measured on rendered pictures (bench/bedside-checks). */
const BY_SHAPE_DEG = 30;
/** Skin of one colour to within so many stops there is not. */
const LEAST_REST = 0.02;
/** Where more of the skin than this has burnt out, what is left tells nothing of the light's side. */
const MOST_BURNT = 0.25;
/** Directions of skin and cloth that are no further apart say the same. */
const AGREE_DEG = 50;

/** From which side the light comes: the skin's own slope of brightness, and the cloth's as a second witness. */
export function lightSide(
  picture: Reduced,
  parts: FrameParts | null,
  nearScales: Uint8Array,
): Judged<LightSide> {
  if (!parts) return { judged: false, why: "No skin is seen: the side of the light cannot be told." };
  const stops = stopsOf(picture.luminance);
  const inner = eroded(parts.subject, picture, CLEAR_OF_EDGE);
  const skin: number[] = [];
  inner.forEach((v, i) => {
    if (v && parts.skin[i]) skin.push(i);
  });
  const cells = skin.filter((i) => picture.burnt[i]! < BURNT);
  if (cells.length < (1 - MOST_BURNT) * skin.length)
    return { judged: false, why: "Too much of the skin has burnt out to tell the side of the light." };
  const plane = fitLight(stops, cells, picture, 1);
  if (!plane) return { judged: false, why: "Too little skin is seen to tell the side of the light." };
  const own = slopeOf(plane, cells, picture);
  if (own.u95Deg > MOST_U95_DEG)
    return { judged: false, why: "The light comes from no side in particular, as far as the skin tells." };
  const cloth = backdropCells(picture, parts, nearScales);
  const behind = fitLight(stops, cloth, picture, 1);
  const second =
    behind && cloth.length > 0.1 * picture.columns * picture.rows ? slopeOf(behind, cloth, picture) : null;
  const agrees =
    second !== null && second.u95Deg < MOST_U95_DEG && apart(second.fromDeg, own.fromDeg) < AGREE_DEG;
  return {
    judged: true,
    fromDeg: own.fromDeg,
    u95Deg: own.u95Deg,
    stops: { value: own.stops, u95: own.u95 },
    by: agrees ? "subject and backdrop" : "subject",
  };
}

/**
 * Direction of the slope in the picture, and the change along it over what is seen. A limb turns away across its axis, so that
 * the same light makes a steeper slope across than along: slopes count by the change over the subject's own length and width.
 */
function slopeOf({ slope, rest }: SmoothLight, cells: readonly number[], { columns, rows }: Reduced) {
  // From half frames to cells: directions are those of the picture.
  const [gx, gy] = [(2 * slope.x) / columns, (2 * slope.y) / rows];
  const n = cells.length;
  const xs = cells.map((i) => i % columns);
  const ys = cells.map((i) => Math.floor(i / columns));
  const [mx, my] = [xs, ys].map((v) => v.reduce((sum, w) => sum + w, 0) / n) as [number, number];
  let [xx, xy, yy] = [0, 0, 0];
  for (let k = 0; k < n; k++) {
    const [dx, dy] = [xs[k]! - mx, ys[k]! - my];
    xx += (dx * dx) / n;
    xy += (dx * dy) / n;
    yy += (dy * dy) / n;
  }
  const axis = 0.5 * Math.atan2(2 * xy, xx - yy);
  const [c, s] = [Math.cos(axis), Math.sin(axis)];
  const long = Math.sqrt(Math.max(1e-6, c * c * xx + 2 * c * s * xy + s * s * yy));
  const wide = Math.sqrt(Math.max(1e-6, s * s * xx - 2 * c * s * xy + c * c * yy));
  const along = EXTENT_PER_SIGMA * long * (c * gx + s * gy);
  const across = EXTENT_PER_SIGMA * wide * (c * gy - s * gx);
  const stops = Math.hypot(along, across);
  const u95 = (2 * EXTENT_PER_SIGMA * Math.max(LEAST_REST, rest)) / Math.sqrt(INDEPENDENT);
  const fromDeg = ((Math.atan2(across, along) + axis) * 180) / Math.PI;
  return {
    fromDeg: (fromDeg + 360) % 360,
    stops,
    u95,
    u95Deg: Math.hypot(BY_SHAPE_DEG, (Math.atan2(u95, stops) * 180) / Math.PI),
  };
}

const apart = (a: number, b: number): number => Math.abs(((a - b + 540) % 360) - 180);
