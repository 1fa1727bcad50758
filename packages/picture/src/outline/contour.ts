import type { OutlineRegion, XY } from "../answers.ts";
import type { Share } from "./share.ts";

/** Closed rings along one half of a share, the inside on the right hand as seen (y down): outlines turn clockwise. */
export function contoursOf(share: Share): XY[][] {
  const { width, height, values } = share;
  // Sampled at pixel centres, with a rim of "outside" round the picture.
  const at = (x: number, y: number) =>
    x < 0 || y < 0 || x >= width || y >= height ? 0 : values[y * width + x]!;
  // Crossings are named by the grid edge they lie on: even for across, odd for down.
  const stride = width + 3;
  const across = (x: number, y: number) => 2 * ((y + 1) * stride + x + 1);
  const down = (x: number, y: number) => across(x, y) + 1;
  const next = new Map<number, number>();
  const place = new Map<number, XY>();
  const cross = (name: number, x0: number, y0: number, x1: number, y1: number) => {
    if (!place.has(name)) {
      const a = at(x0, y0);
      const b = at(x1, y1);
      const t = Math.min(0.999, Math.max(0.001, (0.5 - a) / (b - a)));
      place.set(name, [x0 + 0.5 + t * (x1 - x0), y0 + 0.5 + t * (y1 - y0)]);
    }
    return name;
  };
  for (let y = -1; y < height; y++) {
    for (let x = -1; x < width; x++) {
      const a = at(x, y) >= 0.5;
      const b = at(x + 1, y) >= 0.5;
      const c = at(x + 1, y + 1) >= 0.5;
      const d = at(x, y + 1) >= 0.5;
      if (a === b && b === c && c === d) continue;
      const top = () => cross(across(x, y), x, y, x + 1, y);
      const right = () => cross(down(x + 1, y), x + 1, y, x + 1, y + 1);
      const bottom = () => cross(across(x, y + 1), x, y + 1, x + 1, y + 1);
      const left = () => cross(down(x, y), x, y, x, y + 1);
      const link = (from: number, to: number) => next.set(from, to);
      // Walking with the inside on the right, one comes in over an edge whose earlier corner (clockwise) is inside.
      if (a !== b && b === d && a === c) {
        // A tie (the corners of a mask) is not joined: cells that only share a corner are apart.
        const joined = at(x, y) + at(x + 1, y) + at(x + 1, y + 1) + at(x, y + 1) > 2;
        if (a) {
          link(top(), joined ? right() : left());
          link(bottom(), joined ? left() : right());
        } else {
          link(right(), joined ? bottom() : top());
          link(left(), joined ? top() : bottom());
        }
        continue;
      }
      const enters: number[] = [];
      const leaves: number[] = [];
      if (a !== b) (a ? enters : leaves).push(top());
      if (b !== c) (b ? enters : leaves).push(right());
      if (c !== d) (c ? enters : leaves).push(bottom());
      if (d !== a) (d ? enters : leaves).push(left());
      link(enters[0]!, leaves[0]!);
    }
  }
  const rings: XY[][] = [];
  while (next.size > 0) {
    const ring: XY[] = [];
    for (let name = next.keys().next().value; name !== undefined; ) {
      const to: number | undefined = next.get(name);
      if (to === undefined) break;
      next.delete(name);
      ring.push(place.get(name)!);
      name = to;
    }
    if (ring.length >= 3) rings.push(ring);
  }
  return rings;
}

/** Signed area, positive when the ring turns clockwise as seen (y down). */
export function signedArea(ring: readonly XY[]): number {
  let sum = 0;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    sum += ring[j]![0] * ring[i]![1] - ring[i]![0] * ring[j]![1];
  }
  return sum / 2;
}

/** Even-odd. */
function ringHolds(ring: readonly XY[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [ax, ay] = ring[j]!;
    const [bx, by] = ring[i]!;
    if (ay <= y !== by <= y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
  }
  return inside;
}

/** Rings as regions, largest first: those that turn clockwise are outlines, the others holes of the smallest around them. */
export function ringsAsRegions(rings: readonly XY[][]): OutlineRegion[] {
  const sized = rings.map((ring) => ({ ring, area: signedArea(ring) }));
  const outer = sized.filter(({ area }) => area > 0).sort((a, b) => a.area - b.area);
  const owned = new Map<readonly XY[], XY[][]>();
  for (const { ring: hole, area } of sized) {
    if (area >= 0) continue;
    const [x, y] = hole[0]!;
    const owner = outer.find((o) => o.area > -area && ringHolds(o.ring, x, y));
    if (owner) owned.set(owner.ring, [...(owned.get(owner.ring) ?? []), hole]);
  }
  return outer.toReversed().map(({ ring }) => ({ outline: ring, holes: owned.get(ring) ?? [] }));
}
