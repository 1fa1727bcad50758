/**
 * How our figures are drawn: in millimetres of the subject, y downwards, so that a view's field can be laid over them;
 * few strokes, each a smooth line through a few points. Only absolute M, L, C and Z with `x,y` pairs are used, so that
 * a path can be changed over left to right by its numbers.
 */
export type Point = readonly [x: number, y: number];

/** Points as they are typed in a drawing, "0,10 4,12", or as they are computed. */
type Points = string | readonly Point[];

const pointsOf = (points: Points): readonly Point[] =>
  typeof points === "string"
    ? points.split(" ").map((pair) => pair.split(",").map(Number) as [number, number])
    : points;

/** One stroke of a figure as SVG path data. */
export interface Stroke {
  readonly path: string;
  /** "line": the part; "fine": what helps to know it; "mark": what the picture is made for; "thing": scale, mirror. */
  readonly pen: "line" | "fine" | "mark" | "thing";
}

const at = ([x, y]: Point): string => `${tidy(x)},${tidy(y)}`;
const tidy = (value: number): number => Math.round(value * 100) / 100 + 0;

/** A smooth line through the points (Catmull-Rom, as Béziers). */
export function through(typed: Points, closed = false): string {
  const points = pointsOf(typed);
  const n = points.length;
  const point = (i: number): Point =>
    closed ? points[(i + n) % n]! : points[Math.max(0, Math.min(n - 1, i))]!;
  const parts = [`M ${at(point(0))}`];
  for (let i = 0; i < (closed ? n : n - 1); i++) {
    const [before, from, to, after] = [point(i - 1), point(i), point(i + 1), point(i + 2)];
    const one: Point = [from[0] + (to[0] - before[0]) / 6, from[1] + (to[1] - before[1]) / 6];
    const two: Point = [to[0] - (after[0] - from[0]) / 6, to[1] - (after[1] - from[1]) / 6];
    parts.push(`C ${at(one)} ${at(two)} ${at(to)}`);
  }
  return parts.join(" ") + (closed ? " Z" : "");
}

/** Straight from point to point. */
export function straight(points: Points, closed = false): string {
  return (
    pointsOf(points)
      .map((p, i) => `${i === 0 ? "M" : "L"} ${at(p)}`)
      .join(" ") + (closed ? " Z" : "")
  );
}

export function oval(x: number, y: number, rx: number, ry: number = rx): string {
  const k = 0.5523;
  return (
    `M ${at([x + rx, y])} C ${at([x + rx, y + ry * k])} ${at([x + rx * k, y + ry])} ${at([x, y + ry])} ` +
    `C ${at([x - rx * k, y + ry])} ${at([x - rx, y + ry * k])} ${at([x - rx, y])} ` +
    `C ${at([x - rx, y - ry * k])} ${at([x - rx * k, y - ry])} ${at([x, y - ry])} ` +
    `C ${at([x + rx * k, y - ry])} ${at([x + rx, y - ry * k])} ${at([x + rx, y])} Z`
  );
}

export const box = (x: number, y: number, width: number, height: number): string =>
  straight(
    [
      [x, y],
      [x + width, y],
      [x + width, y + height],
      [x, y + height],
    ],
    true,
  );

const PAIR = /(-?[\d.]+),(-?[\d.]+)/g;

function moved(path: string, how: (x: number, y: number) => Point): string {
  return path.replaceAll(PAIR, (_all, x: string, y: string) => at(how(Number(x), Number(y))));
}

/** Changed over left to right about x = 0. */
export const turnedOver = (path: string): string => moved(path, (x, y) => [-x, y]);

/** Shifted, after growing by `times`. */
export const placed = (path: string, dx: number, dy: number, times = 1): string =>
  moved(path, (x, y) => [x * times + dx, y * times + dy]);

export const line = (...paths: string[]): Stroke[] => paths.map((path) => ({ path, pen: "line" }));
export const fine = (...paths: string[]): Stroke[] => paths.map((path) => ({ path, pen: "fine" }));
export const mark = (...paths: string[]): Stroke[] => paths.map((path) => ({ path, pen: "mark" }));
export const thing = (...paths: string[]): Stroke[] => paths.map((path) => ({ path, pen: "thing" }));

/** Strokes with their like on the other side of x = 0. */
export const both = (strokes: readonly Stroke[]): Stroke[] => [
  ...strokes,
  ...strokes.map(({ path, pen }) => ({ path: turnedOver(path), pen })),
];

export const shift = (strokes: readonly Stroke[], dx: number, dy: number, times = 1): Stroke[] =>
  strokes.map(({ path, pen }) => ({ path: placed(path, dx, dy, times), pen }));

export const turnOver = (strokes: readonly Stroke[]): Stroke[] =>
  strokes.map(({ path, pen }) => ({ path: turnedOver(path), pen }));

/** The least box round the ends of all strokes (control points left out: good to a stroke's width). */
export function extentOf(strokes: readonly Stroke[]): {
  x: number;
  y: number;
  width: number;
  height: number;
} {
  const points = strokes.flatMap(({ path }) =>
    [...path.matchAll(PAIR)].map(([, x, y]): Point => [Number(x), Number(y)]),
  );
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return { x: left, y: top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
}
