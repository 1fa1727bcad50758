import type { GraduationRow } from "../edge/graduations.ts";
import type { Level } from "../search/pyramid.ts";
import { withoutBars } from "./bars.ts";
import { blockRow } from "./block-row.ts";
import { placeOn } from "./run-strip.ts";
import { runsOf } from "./runs.ts";
import { type Segment, segmentsOf } from "./segments.ts";

/** The level that is searched has a long side of at most this: the blocks of a scale are then 10 px high or more. */
const MOST_SIDE_PX = 1600;
const BLOCKS = { turns: true, fewest: 4, leastSpacing: 0.45, mostSpacing: 14 } as const;

/** Rows of alternating blocks, whose marks lie too far apart for a search by their spectrum. */
export function blockRows(levels: readonly Level[]): GraduationRow[] {
  const level = levels.find((l) => Math.max(l.widthPx, l.heightPx) <= MOST_SIDE_PX) ?? levels.at(-1)!;
  const rows: GraduationRow[] = [];
  const taken = new Set<Segment>();
  for (const run of runsOf(withoutBars(segmentsOf(level)), BLOCKS)) {
    if (run.marks.some(({ mark }) => taken.has(mark))) continue;
    const row = blockRow(levels, level, run);
    if (!row || rows.some((r) => sameRow(r, row))) continue;
    rows.push(row);
    for (const { mark } of run.marks) taken.add(mark);
  }
  return rows;
}

/** The shorter one's middle lies on the other's band: blocks and the graduations that divide them. */
function sameRow(a: GraduationRow, b: GraduationRow): boolean {
  const m = b.strip.at(b.graduations[b.graduations.length >> 1]!.s, 0);
  const s = placeOn(a.strip, m.x, m.y);
  const p = a.strip.at(s, 0);
  const height = a.strip.band[1] - a.strip.band[0];
  const within = s > a.graduations[0]!.s - a.strip.pitchPx && s < a.graduations.at(-1)!.s + a.strip.pitchPx;
  return within && Math.hypot(m.x - p.x, m.y - p.y) < 2 * height;
}
