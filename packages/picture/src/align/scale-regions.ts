import type { OutlineRegion, ReadScale, ScaleAnswer, XY } from "../answers.ts";

/** Broad enough for the bodies in use: an L-shaped scale's leg is an inch wide, rulers are narrower. */
const BODY_MM = 26;
/** Beyond the first and last graduation read. */
const ENDS_MM = 12;

/**
 * Where the scales of a picture lie, generously. A scale is laid anew at every visit, so it must not take part in aligning
 * the skin. The body of an L lies outside its inner corner; a straight scale's may lie on either side of the graduations.
 */
export function scaleRegions(scale: ScaleAnswer): readonly OutlineRegion[] {
  if (!scale.found) return [];
  return scale.scales.map((one) => ({ outline: bodyOf(one, otherLeg(one, scale.scales)), holes: [] }));
}

function otherLeg(leg: ReadScale, scales: readonly ReadScale[]): ReadScale | null {
  return leg.kind === "L" ? (scales.find((other) => other !== leg && other.kind === "L") ?? null) : null;
}

function bodyOf({ ticks, at, axisDeg, pxPerMm, coverageMm }: ReadScale, other: ReadScale | null): XY[] {
  const angle = (axisDeg * Math.PI) / 180;
  const [ux, uy] = [Math.cos(angle), Math.sin(angle)];
  const along = ticks.map(({ x, y }) => (x - at.x) * ux + (y - at.y) * uy);
  const half = (coverageMm * pxPerMm.value) / 2;
  const ends = ENDS_MM * pxPerMm.value + (other ? BODY_MM * pxPerMm.value : 0);
  const [from, to] = [Math.min(-half, ...along) - ends, Math.max(half, ...along) + ends];
  const body = BODY_MM * pxPerMm.value;
  let [low, high] = [-body, body];
  if (other) {
    const side = (other.at.x - at.x) * -uy + (other.at.y - at.y) * ux;
    const inner = 2 * pxPerMm.value; // a little beyond the ruled edge, for its shadow
    [low, high] = side > 0 ? [-body, inner] : [-inner, body];
  }
  const corner = (s: number, t: number): XY => [at.x + s * ux - t * uy, at.y + s * uy + t * ux];
  return [corner(from, low), corner(to, low), corner(to, high), corner(from, high)];
}
