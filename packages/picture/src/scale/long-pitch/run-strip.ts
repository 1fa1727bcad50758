import type { Locked } from "../edge/lock-in.ts";
import { type Strip, stripOf } from "../edge/strip.ts";
import type { Level } from "../search/pyramid.ts";

/** A mark of a row as the strip through it needs it, in pixels of the level. */
export interface Station {
  readonly x: number;
  readonly y: number;
  /** Across the mark, along the row or against it. */
  readonly nx: number;
  readonly ny: number;
  readonly length: number;
}

/** The smooth curve through the middles of a row's marks, given in order. */
export function stripThrough(level: Level, stations: readonly Station[], pitchPx: number): Strip {
  const first = stations[0]!;
  const last = stations.at(-1)!;
  const run = Math.hypot(last.x - first.x, last.y - first.y);
  const ux = (last.x - first.x) / run;
  const uy = (last.y - first.y) / run;
  return stripOf({
    level,
    stations: stations.map(({ x, y, nx, ny, length }): Locked => {
      // Along the mark, a quarter turn on from the row's direction.
      const sense = ux * nx + uy * ny < 0 ? -1 : 1;
      return {
        level,
        x,
        y,
        ux,
        uy,
        tx: -sense * ny,
        ty: sense * nx,
        pitchPx,
        share: 1,
        amplitude: 1,
        bandPitches: length / pitchPx,
        open: false,
      };
    }),
  });
}

/** The place along a strip that is nearest to a picture point. */
export function placeOn(strip: Strip, x: number, y: number): number {
  let s = 0;
  for (let i = 0; i < 4; i++) {
    const p = strip.at(s, 0);
    const e = strip.edge(s);
    s += (x - p.x) * e.x + (y - p.y) * e.y;
  }
  return s;
}
