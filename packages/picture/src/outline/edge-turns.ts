import { areaOf, contains, type Point } from "@samescale/geometry";
import type { UprightPicture } from "../decode/picture.ts";

/** Half a profile's length, tried from short to long, as shares of the square root of the area: the rim, not the far side. */
const REACH_SHARES = [0.025, 0.05, 0.1, 0.2] as const;
const LEAST_REACH_PX = 6;
/** Samples from the inner to the outer end. */
const STEPS = 48;
/** Ends of a profile that stand for "inside" and "outside". */
const END_SHARE = 0.25;

/** A place on an edge and the unit normal that points out of it. */
export interface EdgePlace {
  readonly at: Point;
  readonly normal: Point;
  /** The ring's point from which the place lies on the way to the next. */
  readonly index: number;
}

/** How the colour turns across an edge at one place. */
export interface Turn {
  /** From a quarter to three quarters of the change, px. */
  readonly width: number;
  /** Half of the change, from the drawn line outwards, px. */
  readonly middle: number;
  /** Grey levels between its two ends. */
  readonly contrast: number;
}

/** Null where inside and outside look alike, or the profile leaves the picture. */
function turnOf(picture: UprightPicture, at: Point, normal: Point, reach: number): Turn | null {
  const samples: (readonly [number, number, number])[] = [];
  for (let i = 0; i < STEPS; i++) {
    const s = reach * ((2 * (i + 0.5)) / STEPS - 1);
    const colour = colourAt(picture, at.x + s * normal.x, at.y + s * normal.y);
    if (colour === null) return null;
    samples.push(colour);
  }
  const ends = Math.round(STEPS * END_SHARE);
  const inside = meanOf(samples.slice(0, ends));
  const outside = meanOf(samples.slice(-ends));
  const axis = [outside[0] - inside[0], outside[1] - inside[1], outside[2] - inside[2]] as const;
  const contrast2 = axis[0] ** 2 + axis[1] ** 2 + axis[2] ** 2;
  if (contrast2 < LEAST_CONTRAST ** 2) return null;
  const share = samples.map(
    (c) =>
      ((c[0] - inside[0]) * axis[0] + (c[1] - inside[1]) * axis[1] + (c[2] - inside[2]) * axis[2]) /
      contrast2,
  );
  const [quarter, half, threeQuarters] = [0.25, 0.5, 0.75].map((level) => crossing(share, level)) as [
    number,
    number,
    number,
  ];
  const step = (2 * reach) / STEPS;
  return {
    width: Math.max(0, threeQuarters - quarter) * step,
    middle: (half - STEPS / 2) * step,
    contrast: Math.sqrt(contrast2),
  };
}

/** Grey levels between the two sides; less drowns in noise and texture. */
const LEAST_CONTRAST = 8;

/**
 * Where a noisy rise passes a level: the place that has as many samples above the level before it as below behind it,
 * which needs no smoothing and no first or last crossing.
 */
function crossing(share: readonly number[], level: number): number {
  return share.filter((value) => value < level).length;
}

function colourAt({ rgb, widthPx, heightPx }: UprightPicture, x: number, y: number) {
  const column = Math.floor(x);
  const row = Math.floor(y);
  if (column < 0 || row < 0 || column >= widthPx || row >= heightPx) return null;
  const i = (row * widthPx + column) * 3;
  return [rgb[i]!, rgb[i + 1]!, rgb[i + 2]!] as const;
}

function meanOf(colours: readonly (readonly [number, number, number])[]): readonly [number, number, number] {
  const sum = (channel: 0 | 1 | 2) =>
    colours.reduce((total, colour) => total + colour[channel], 0) / colours.length;
  return [sum(0), sum(1), sum(2)];
}

/** For each reach, from short to long, the turn at each place; null where inside and outside look alike. */
export function turnsAlong(ring: readonly Point[], places: readonly EdgePlace[], picture: UprightPicture) {
  const side = Math.sqrt(areaOf({ outline: ring, holes: [] }));
  return REACH_SHARES.map((share) => {
    const reach = Math.max(LEAST_REACH_PX, share * side);
    return { reach, turns: places.map(({ at, normal }) => turnOf(picture, at, normal, reach)) };
  });
}

/** The shortest profile that sees this much of the contrast that the longest ones see is the one that fits the edge. */
const ENOUGH_CONTRAST = 0.7;

/** Of turns over several reaches the shortest that sees most of the contrast; `contrast` null: none was seen. */
export function fittingReach<T extends { readonly contrast: number | null }>(tries: readonly T[]): T {
  const most = Math.max(...tries.map((t) => t.contrast ?? 0));
  return tries.find((t) => (t.contrast ?? 0) >= ENOUGH_CONTRAST * most)!;
}

/** One standard uncertainty of where the edge lies, px: the middle half of a ramp, and how far the drawn line is off it. */
export function uOfTurns(turns: readonly Turn[]): number {
  const width = medianOf(turns.map((t) => t.width))!;
  const offset = medianOf(turns.map((t) => Math.abs(t.middle)))!;
  return Math.hypot(width / Math.sqrt(3), offset);
}

/** Points spread evenly along the ring, each with the unit normal that points out of it. */
export function placesAlong(ring: readonly Point[], count: number): EdgePlace[] {
  const lengths = ring.map((p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    return Math.hypot(q.x - p.x, q.y - p.y);
  });
  const step = lengths.reduce((sum, length) => sum + length, 0) / count;
  const places: EdgePlace[] = [];
  let ahead = step / 2;
  ring.forEach((p, i) => {
    const q = ring[(i + 1) % ring.length]!;
    const length = lengths[i]!;
    while (ahead < length) {
      const at = { x: p.x + ((q.x - p.x) * ahead) / length, y: p.y + ((q.y - p.y) * ahead) / length };
      const normal = { x: (q.y - p.y) / length, y: -(q.x - p.x) / length };
      places.push({ at, normal, index: i });
      ahead += step;
    }
    ahead -= length;
  });
  return places.length > 0 && pointsInwards(ring, places[0]!)
    ? places.map((place) => ({ ...place, normal: { x: -place.normal.x, y: -place.normal.y } }))
    : places;
}

function pointsInwards(ring: readonly Point[], { at, normal }: EdgePlace): boolean {
  const nearby = { x: at.x + 0.01 * normal.x, y: at.y + 0.01 * normal.y };
  return contains({ outline: ring, holes: [] }, nearby);
}

/** Upper of the two middle ones; null of none. */
export function medianOf(values: readonly number[]): number | null {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? null;
}
