import { orient2d } from "robust-predicates";
import type { Point } from "../units.ts";

/**
 * Which way the path a, b, c turns, with the exact sign: positive clockwise as seen (y down), negative
 * anticlockwise, 0 exactly straight. Its size is twice the triangle's area, to rounding.
 * @source Shewchuk1997 (adaptive exact predicates)
 */
export const turn = (a: Point, b: Point, c: Point): number => -orient2d(a.x, a.y, b.x, b.y, c.x, c.y);
