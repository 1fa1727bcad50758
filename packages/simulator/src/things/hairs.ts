import { seededRandom } from "@samescale/geometry";
import { ink } from "../artwork/mark.ts";
import { stroke } from "../artwork/shapes.ts";
import { rgb8 } from "../colour/colour.ts";
import type { Artwork, Placed } from "./thing.ts";

/** Hairs that have fallen across something, spread over a rectangle. Placed by its middle. */
export interface Hairs extends Placed {
  readonly kind: "hairs";
  readonly count: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly seed?: number;
}

const PIECES = 12;
/** A scalp hair is 0.05 to 0.1 mm thick. */
const LEAST_WIDTH_MM = 0.05;
const MOST_WIDTH_MM = 0.1;

export function hairs(thing: Hairs): Artwork {
  const random = seededRandom(thing.seed ?? 1);
  const marks = Array.from({ length: thing.count }, () => {
    let x = (random() - 0.5) * thing.widthMm;
    let y = (random() - 0.5) * thing.heightMm;
    let direction = random() * 2 * Math.PI;
    const curl = (random() - 0.5) * 0.25;
    const step = (4 + 14 * random()) / PIECES;
    const points: [number, number][] = [[x, y]];
    for (let i = 0; i < PIECES; i++) {
      direction += curl + (random() - 0.5) * 0.12;
      x += step * Math.cos(direction);
      y += step * Math.sin(direction);
      points.push([x, y]);
    }
    const width = LEAST_WIDTH_MM + (MOST_WIDTH_MM - LEAST_WIDTH_MM) * random();
    return ink(
      stroke(points, width, width * 0.5),
      random() < 0.7 ? rgb8(44, 30, 22) : rgb8(120, 92, 60),
      0.9,
    );
  });
  return { marks, wraps: true };
}
