import type { Point, Ring } from "../../src/index.ts";

/** A regular polygon; clockwise as seen (y down). */
export const discOf = (corners: number, radius: number, x = 0, y = 0): Point[] =>
  Array.from({ length: corners }, (_, i) => ({
    x: x + radius * Math.cos((2 * Math.PI * i) / corners),
    y: y + radius * Math.sin((2 * Math.PI * i) / corners),
  }));

/** An ellipse turned by an angle, clockwise as seen. */
export function ellipseOf(corners: number, a: number, b: number, angleDeg: number, x = 0, y = 0): Point[] {
  const angle = (angleDeg * Math.PI) / 180;
  return discOf(corners, 1).map((p) => ({
    x: x + a * p.x * Math.cos(angle) - b * p.y * Math.sin(angle),
    y: y + a * p.x * Math.sin(angle) + b * p.y * Math.cos(angle),
  }));
}

export const boxOf = (x0: number, y0: number, x1: number, y1: number): Ring => [
  { x: x0, y: y0 },
  { x: x1, y: y0 },
  { x: x1, y: y1 },
  { x: x0, y: y1 },
];

/** A simple outline around the middle: one radius per direction, so that it cannot cross itself. */
export const starOf = (radii: readonly number[], x = 0, y = 0): Point[] =>
  radii.map((r, i) => ({
    x: x + r * Math.cos((2 * Math.PI * i) / radii.length),
    y: y + r * Math.sin((2 * Math.PI * i) / radii.length),
  }));

/** The outline of a disc as tracing a mask gives it: along the sides of unit pixels. */
export function staircaseDisc(radius: number): Point[] {
  const points: Point[] = [];
  const half = (y: number): number => Math.floor(Math.sqrt(Math.max(0, radius * radius - y * y)) + 0.5);
  for (let y = -radius; y < radius; y++) {
    points.push({ x: half(y + 0.5), y }, { x: half(y + 0.5), y: y + 1 });
  }
  for (let y = radius; y > -radius; y--) {
    points.push({ x: -half(y - 0.5), y }, { x: -half(y - 0.5), y: y - 1 });
  }
  return points.filter((p, i) => i === 0 || p.x !== points[i - 1]!.x || p.y !== points[i - 1]!.y);
}
