import { type Differences, differences } from "../choose-correction.ts";
import { type Correction, NO_TONE } from "../correction.ts";
import { deltaE00 } from "../delta-e00.ts";
import { linearToLabD50, luminanceOf, type Triple } from "../space.ts";
import type { SkinPlace } from "./skin-places.ts";

export interface SkinMatch {
  readonly correction: Correction;
  readonly before: Differences;
  readonly after: Differences;
  /** Places of a part of the picture, as matched by the other parts. */
  readonly crossValidated: Differences;
  /** The follow-up brighter (+) or darker than the baseline. */
  readonly exposureStops: number;
  /** Share of the places that did not follow the rest. */
  readonly changedShare: number;
  /** How strong the second group of places is that agree with each other on another correction, against the first. */
  readonly rival: number;
}

/** What the same skin asks for, in logarithms: light as a whole, red against green, blue against green. */
interface Wanted {
  readonly light: number;
  readonly red: number;
  readonly blue: number;
}

/** Places whose colour asks for the same correction within this count as agreeing: about a ΔE00 of 1 on skin. */
const AGREE = 0.035;
/** Groups nearer than this are one, smeared by light that is not the same everywhere. */
const APART = 3 * AGREE;
const MOST_STEPS = 30;
/** A tenth of the light: a seventh of a stop. */
const LEAST_REACH = 0.1;
/** Standard deviation over median absolute deviation, of the normal distribution. */
const NORMAL = 1.4826;

/**
 * One gain for each channel, from the colour correction on which most places of skin agree: what has turned redder asks for
 * another one and does not count, however strong it is, as long as it is the smaller part. Brightness is then a plane
 * through the places that agree, taken in the middle. Null with no places.
 *
 * @source FukunagaHostetler1975 (mean shift)
 */
export function matchSkin(places: readonly SkinPlace[]): SkinMatch | null {
  const fit = fitGains(places);
  if (!fit) return null;
  const { gains, follows } = fit;
  const kept = places.filter((_, i) => follows[i]);
  const difference = (place: SkinPlace, by: Triple) =>
    deltaE00(linearToLabD50(lit(place.followup, by)), linearToLabD50(place.baseline));
  const leftOut = partsOf(kept).flatMap((part) => {
    const rest = fitGains(places.filter((place) => !part.includes(place)));
    return rest ? part.map((place) => difference(place, rest.gains)) : [];
  });
  return {
    correction: {
      kind: "white-balance",
      matrix: gains.map((gain, r) => [0, 1, 2].map((c) => (c === r ? gain : 0))),
      tone: NO_TONE,
    },
    before: differences(kept.map((place) => difference(place, [1, 1, 1]))),
    after: differences(kept.map((place) => difference(place, gains))),
    crossValidated: differences(leftOut),
    exposureStops: -Math.log2(luminanceOf(gains)),
    changedShare: 1 - kept.length / places.length,
    rival: fit.rival,
  };
}

interface Fit {
  readonly gains: Triple;
  readonly follows: readonly boolean[];
  readonly rival: number;
}

function fitGains(places: readonly SkinPlace[]): Fit | null {
  if (places.length === 0) return null;
  const wanted = places.map(wantedBy);
  const first = densest(wanted, () => true);
  if (!first) return null;
  const second = densest(wanted, (w) => apart(w, first.at) > APART);
  const ofColour = places.flatMap((place, i) => {
    const { light } = wanted[i]!;
    return apart(wanted[i]!, first.at) <= 2 * AGREE ? [{ ...place, light }] : [];
  });
  // What is far darker than light falling off explains is a stain: left out, and the plane laid again.
  const rough = lightPlane(ofColour);
  const off = ofColour.map((place) => Math.abs(place.light - rough(place)));
  const reach = Math.max(LEAST_REACH, 3 * NORMAL * median(off));
  const plane = lightPlane(ofColour.filter((_, i) => off[i]! <= reach));
  const follows = places.map(
    (place, i) =>
      apart(wanted[i]!, first.at) <= 2 * AGREE && Math.abs(wanted[i]!.light - plane(place)) <= reach,
  );
  // In the middle of all places, whichever of them have changed.
  const light = plane({ x: mean(places.map((p) => p.x)), y: mean(places.map((p) => p.y)) });
  // light = 0.2126 red + 0.7152 green + 0.0722 blue, red and blue counted against green
  const green = light - luminanceOf([first.at.red, 0, first.at.blue]);
  return {
    gains: [Math.exp(green + first.at.red), Math.exp(green), Math.exp(green + first.at.blue)],
    follows,
    rival: second ? second.count / first.count : 0,
  };
}

function wantedBy({ baseline, followup }: SkinPlace): Wanted {
  const [r, g, b] = [0, 1, 2].map((c) => Math.log(baseline[c]! / followup[c]!)) as unknown as Triple;
  return { light: luminanceOf([r, g, b]), red: r - g, blue: b - g };
}

type Colour = Pick<Wanted, "red" | "blue">;
const apart = (a: Colour, b: Colour): number => Math.hypot(a.red - b.red, a.blue - b.blue);

/** Mean shift with a flat window from the place with most others near it. */
function densest(
  wanted: readonly Wanted[],
  counts: (w: Wanted) => boolean,
): { readonly at: Colour; readonly count: number } | null {
  const some = wanted.filter(counts);
  const near = (at: Colour) => some.filter((w) => apart(w, at) <= AGREE);
  let at: Colour | null = null;
  let most = 0;
  for (const w of some) {
    const count = near(w).length;
    if (count > most) [at, most] = [w, count];
  }
  if (!at) return null;
  for (let step = 0; step < MOST_STEPS; step++) {
    const group = near(at);
    const mean: Colour = {
      red: group.reduce((s, w) => s + w.red, 0) / group.length,
      blue: group.reduce((s, w) => s + w.blue, 0) / group.length,
    };
    if (apart(mean, at) < 1e-6) break;
    at = mean;
  }
  return { at, count: near(at).length };
}

const lit = (rgb: Triple, gains: Triple): Triple => [rgb[0] * gains[0], rgb[1] * gains[1], rgb[2] * gains[2]];

/** Log light over the picture: falling off differently in the two pictures, it is a plane at the least. */
function lightPlane(
  places: readonly { readonly x: number; readonly y: number; readonly light: number }[],
): (at: { readonly x: number; readonly y: number }) => number {
  const [mx, my, ml] = [
    mean(places.map((p) => p.x)),
    mean(places.map((p) => p.y)),
    mean(places.map((p) => p.light)),
  ];
  const sum = (of: (p: (typeof places)[number]) => number) => places.reduce((s, p) => s + of(p), 0);
  const xx = sum((p) => (p.x - mx) ** 2);
  const yy = sum((p) => (p.y - my) ** 2);
  const xy = sum((p) => (p.x - mx) * (p.y - my));
  const xl = sum((p) => (p.x - mx) * (p.light - ml));
  const yl = sum((p) => (p.y - my) * (p.light - ml));
  const det = xx * yy - xy * xy;
  // Places in one line, or a single one, say nothing of a slope.
  if (!(det > 1e-9 * (xx + yy) ** 2)) return () => ml;
  const [across, down] = [(xl * yy - yl * xy) / det, (yl * xx - xl * xy) / det];
  return ({ x, y }) => ml + across * (x - mx) + down * (y - my);
}

const mean = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0) / values.length;
const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** Neighbours share light and texture: whole parts of the picture are left out, not single places. */
const PARTS_ACROSS = 4;
const PARTS_DOWN = 3;

function partsOf(places: readonly SkinPlace[]): SkinPlace[][] {
  const [xs, ys] = [places.map((p) => p.x), places.map((p) => p.y)];
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs) + 1, Math.min(...ys), Math.max(...ys) + 1];
  const parts = new Map<number, SkinPlace[]>();
  for (const place of places) {
    const column = Math.floor((PARTS_ACROSS * (place.x - x0)) / (x1 - x0));
    const row = Math.floor((PARTS_DOWN * (place.y - y0)) / (y1 - y0));
    const key = row * PARTS_ACROSS + column;
    parts.set(key, [...(parts.get(key) ?? []), place]);
  }
  return [...parts.values()];
}
