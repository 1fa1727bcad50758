/**
 * Minimum cut of a pixel grid with eight neighbours, by growing search trees from both terminals and re-using
 * them after each augmentation. Whole-number capacities, so it ends and is the same on every machine.
 *
 * @source BoykovKolmogorov2004
 */
export interface GridCut {
  /** 1 where the pixel stays with the source (inside). */
  readonly inside: Uint8Array;
  readonly flow: number;
}

/** Neighbour steps; the opposite of direction d is 7 - d. */
export const STEP_X = [-1, 0, 1, -1, 1, -1, 0, 1] as const;
export const STEP_Y = [-1, -1, -1, 0, 0, 1, 1, 1] as const;

const FREE = -1;
const TERMINAL = 8;
const ORPHAN = 9;

/**
 * @param terminal capacity from the source (positive) or to the sink (negative) of each pixel
 * @param links capacity from pixel i in direction d at `links[8 * i + d]`; 0 where the neighbour is off the grid.
 *   Both arrays are used up.
 */
export function minimumCut(width: number, height: number, terminal: Int32Array, links: Int32Array): GridCut {
  const n = width * height;
  const offset = STEP_X.map((dx, d) => STEP_Y[d]! * width + dx);
  const parent = new Int8Array(n).fill(FREE);
  const sink = new Uint8Array(n);
  const stamp = new Int32Array(n);
  const distance = new Int32Array(n);
  const queued = new Uint8Array(n);
  // Each pixel is queued at most once at a time: a ring of n places never overflows.
  const active = new Int32Array(n);
  let head = 0;
  let waiting = 0;
  const orphans: number[] = [];
  let orphanHead = 0;
  let time = 0;
  let flow = 0;

  const enqueue = (i: number) => {
    if (queued[i]) return;
    queued[i] = 1;
    active[(head + waiting) % n] = i;
    waiting++;
  };
  for (let i = 0; i < n; i++) {
    if (terminal[i] === 0) continue;
    parent[i] = TERMINAL;
    sink[i] = terminal[i]! < 0 ? 1 : 0;
    distance[i] = 1;
    enqueue(i);
  }

  const makeOrphan = (i: number) => {
    parent[i] = ORPHAN;
    orphans.push(i);
  };

  /** Pushes what the path can carry through the edge from source-side `from` in direction `d`. */
  const augment = (from: number, d: number) => {
    const to = from + offset[d]!;
    let room = links[8 * from + d]!;
    for (let i = from; ; ) {
      const p = parent[i]!;
      if (p === TERMINAL) {
        room = Math.min(room, terminal[i]!);
        break;
      }
      const up = i + offset[p]!;
      room = Math.min(room, links[8 * up + 7 - p]!);
      i = up;
    }
    for (let i = to; ; ) {
      const p = parent[i]!;
      if (p === TERMINAL) {
        room = Math.min(room, -terminal[i]!);
        break;
      }
      room = Math.min(room, links[8 * i + p]!);
      i += offset[p]!;
    }
    links[8 * from + d] = links[8 * from + d]! - room;
    links[8 * to + 7 - d] = links[8 * to + 7 - d]! + room;
    for (let i = from; ; ) {
      const p = parent[i]!;
      if (p === TERMINAL) {
        terminal[i] = terminal[i]! - room;
        if (terminal[i] === 0) makeOrphan(i);
        break;
      }
      const up = i + offset[p]!;
      links[8 * i + p] = links[8 * i + p]! + room;
      links[8 * up + 7 - p] = links[8 * up + 7 - p]! - room;
      if (links[8 * up + 7 - p] === 0) makeOrphan(i);
      i = up;
    }
    for (let i = to; ; ) {
      const p = parent[i]!;
      if (p === TERMINAL) {
        terminal[i] = terminal[i]! + room;
        if (terminal[i] === 0) makeOrphan(i);
        break;
      }
      const up = i + offset[p]!;
      links[8 * up + 7 - p] = links[8 * up + 7 - p]! + room;
      links[8 * i + p] = links[8 * i + p]! - room;
      if (links[8 * i + p] === 0) makeOrphan(i);
      i = up;
    }
    flow += room;
  };

  /** Steps to the terminal along the tree, or -1 when the path ends in an orphan. Marks what it walked. */
  const rootDistance = (start: number): number => {
    let steps = 0;
    for (let i = start; ; ) {
      if (stamp[i] === time) {
        steps += distance[i]!;
        break;
      }
      const p = parent[i]!;
      steps++;
      if (p === TERMINAL) {
        stamp[i] = time;
        distance[i] = 1;
        break;
      }
      if (p === ORPHAN || p === FREE) return -1;
      i += offset[p]!;
    }
    let left = steps;
    for (let i = start; stamp[i] !== time; i += offset[parent[i]!]!) {
      stamp[i] = time;
      distance[i] = left--;
    }
    return steps;
  };

  /** Gives an orphan the nearest new parent of its own tree, or frees it and orphans its children. */
  const adopt = (i: number) => {
    const inSink = sink[i]!;
    let best = -1;
    let bestDistance = 0x7fffffff;
    for (let d = 0; d < 8; d++) {
      const j = i + offset[d]!;
      const room = inSink ? links[8 * i + d]! : j >= 0 && j < n ? links[8 * j + 7 - d]! : 0;
      if (room === 0 || !isNeighbour(i, d) || sink[j] !== inSink || parent[j] === FREE) continue;
      const steps = rootDistance(j);
      if (steps >= 0 && steps < bestDistance) {
        best = d;
        bestDistance = steps;
      }
    }
    if (best >= 0) {
      parent[i] = best;
      stamp[i] = time;
      distance[i] = bestDistance + 1;
      return;
    }
    parent[i] = FREE;
    for (let d = 0; d < 8; d++) {
      if (!isNeighbour(i, d)) continue;
      const j = i + offset[d]!;
      if (parent[j] === FREE || sink[j] !== inSink) continue;
      const room = inSink ? links[8 * i + d]! : links[8 * j + 7 - d]!;
      if (room > 0) enqueue(j);
      if (parent[j] === 7 - d) makeOrphan(j);
    }
  };

  const isNeighbour = (i: number, d: number): boolean => {
    const x = (i % width) + STEP_X[d]!;
    const j = i + offset[d]!;
    return x >= 0 && x < width && j >= 0 && j < n;
  };

  while (waiting > 0) {
    const i = active[head]!;
    if (parent[i] === FREE) {
      queued[i] = 0;
      head = (head + 1) % n;
      waiting--;
      continue;
    }
    const inSink = sink[i]!;
    let meetFrom = -1;
    let meetDirection = 0;
    for (let d = 0; d < 8; d++) {
      const j = i + offset[d]!;
      if (j < 0 || j >= n) continue;
      const room = inSink ? links[8 * j + 7 - d]! : links[8 * i + d]!;
      if (room === 0 || !isNeighbour(i, d)) continue;
      if (parent[j] === FREE) {
        sink[j] = inSink;
        parent[j] = 7 - d;
        stamp[j] = stamp[i]!;
        distance[j] = distance[i]! + 1;
        enqueue(j);
      } else if (sink[j] !== inSink) {
        meetFrom = inSink ? j : i;
        meetDirection = inSink ? 7 - d : d;
        break;
      } else if (stamp[j]! <= stamp[i]! && distance[j]! > distance[i]!) {
        parent[j] = 7 - d;
        stamp[j] = stamp[i]!;
        distance[j] = distance[i]! + 1;
      }
    }
    time++;
    if (meetFrom < 0) {
      queued[i] = 0;
      head = (head + 1) % n;
      waiting--;
      continue;
    }
    augment(meetFrom, meetDirection);
    for (orphanHead = 0; orphanHead < orphans.length; orphanHead++) adopt(orphans[orphanHead]!);
    orphans.length = 0;
  }

  const inside = new Uint8Array(n);
  for (let i = 0; i < n; i++) inside[i] = parent[i] !== FREE && !sink[i] ? 1 : 0;
  return { inside, flow };
}
