import type { XY } from "../answers.ts";

/** Four corners in turn: top left, top right, bottom right, bottom left of what they enclose. */
export type Quadrangle = readonly [XY, XY, XY, XY];

export const mapped = ([a, b, c, d]: Quadrangle, move: (point: XY) => XY): Quadrangle => [
  move(a),
  move(b),
  move(c),
  move(d),
];

export const centreOf = (corners: Quadrangle): { readonly x: number; readonly y: number } => ({
  x: corners.reduce((sum, [x]) => sum + x, 0) / 4,
  y: corners.reduce((sum, [, y]) => sum + y, 0) / 4,
});

export const distance = (a: XY, b: XY): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Centres nearer to each other than half the first one's longer side. */
export function samePlace(a: Quadrangle, b: Quadrangle): boolean {
  const [p, q] = [centreOf(a), centreOf(b)];
  return Math.hypot(p.x - q.x, p.y - q.y) < Math.max(distance(a[0], a[1]), distance(a[1], a[2])) / 2;
}

/** Whether a point lies in a convex quadrangle, whichever way it turns. */
export function encloses(corners: Quadrangle, x: number, y: number): boolean {
  let [left, right] = [false, false];
  for (let i = 0; i < 4; i++) {
    const a = corners[i]!;
    const b = corners[(i + 1) % 4]!;
    const side = (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]);
    if (side > 0) left = true;
    if (side < 0) right = true;
  }
  return !(left && right);
}
