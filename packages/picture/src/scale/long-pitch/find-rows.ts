import type { GraduationRow } from "../edge/graduations.ts";
import type { Level } from "../search/pyramid.ts";
import { barRow } from "./bar-row.ts";
import { barsOf, withoutBars } from "./bars.ts";
import { blockRow } from "./block-row.ts";
import { placeOn } from "./run-strip.ts";
import { type Run, runsOf } from "./runs.ts";
import { type Segment, segmentsOf } from "./segments.ts";

/** The level that is searched has a long side of at most this: the blocks of a scale are then 10 px high or more. */
const MOST_SIDE_PX = 1600;
const BLOCKS = { turns: true, fewest: 4, leastSpacing: 0.45, mostSpacing: 14 } as const;
const LONE_BARS = { turns: false, fewest: 5, leastSpacing: 0.8, mostSpacing: 6 } as const;

interface Searched {
  readonly levels: readonly Level[];
  readonly level: Level;
  readonly segments: readonly Segment[];
}

/** Rows whose marks lie too far apart for a search by their spectrum. */
export function rowsFarApart(levels: readonly Level[]): {
  blocks: GraduationRow[];
  loneBars: GraduationRow[];
} {
  const level = levels.find((l) => Math.max(l.widthPx, l.heightPx) <= MOST_SIDE_PX) ?? levels.at(-1)!;
  const searched = { levels, level, segments: segmentsOf(level) };
  return { blocks: blockRows(searched), loneBars: loneBarRows(searched) };
}

/** Alternating dark and bright blocks. */
function blockRows({ levels, level, segments }: Searched): GraduationRow[] {
  return rowsFrom(runsOf(withoutBars(segments), BLOCKS), (run) => blockRow(levels, level, run));
}

/** Rows of thin bars of one length, further apart than they are long: graduations of whole centimetres. */
function loneBarRows({ levels, level, segments }: Searched): GraduationRow[] {
  return ([-1, 1] as const).flatMap((polarity) => {
    const runs = runsOf(barsOf(segments, polarity), LONE_BARS);
    return rowsFrom(runs, (run) => barRow(levels, level, run, polarity));
  });
}

/** A mark belongs to one row, and a row is named once. */
function rowsFrom(runs: readonly Run[], rowOf: (run: Run) => GraduationRow | null): GraduationRow[] {
  const rows: GraduationRow[] = [];
  const taken = new Set<Segment>();
  for (const run of runs) {
    if (run.marks.some(({ mark }) => taken.has(mark))) continue;
    const row = rowOf(run);
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
