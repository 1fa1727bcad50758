import { type EdgeReading, middleNumber, nearestNumber } from "../edge-reading.ts";
import { MILLIMETRES } from "./hierarchy.ts";
import { provedTens } from "./judge.ts";

/** A block of ten graduations is a centimetre of millimetres; perspective between the rows changes the ratio little. */
const TEN = 10;
const MOST_RATIO_ERROR = 0.015;
const PARALLEL_COS = 0.99;
/** From the graduations to the blocks that they divide, in graduations. */
const MOST_APART = 12;

/** Graduations that say nothing by themselves, settled by a row of blocks found beside them. */
export function withBlocksBeside(
  edges: readonly EdgeReading[],
  farApart: readonly EdgeReading[],
): EdgeReading[] {
  const blocks = farApart.filter((e) => e.marks === "blocks");
  return edges.map((edge) => {
    const open = edge.judgement.verdict === "none" && edge.marks === "bars";
    if (!open || !blocks.some((b) => isTenOf(b, edge))) return edge;
    return { ...edge, judgement: provedTens(edge.row, edge.lengths, MILLIMETRES, "blocks") };
  });
}

function isTenOf({ row: blocks }: EdgeReading, { row: fine }: EdgeReading): boolean {
  const middle = middleNumber(fine);
  const p = fine.strip.at(fine.lattice.at(middle), 0);
  const k = nearestNumber(blocks, p.x, p.y);
  const q = blocks.strip.at(blocks.lattice.at(k), 0);
  const [a, b] = [fine.strip.edge(fine.lattice.at(middle)), blocks.strip.edge(blocks.lattice.at(k))];
  if (Math.abs(a.x * b.x + a.y * b.y) < PARALLEL_COS) return false;
  const across = Math.abs((q.x - p.x) * a.y - (q.y - p.y) * a.x);
  // Compared where the border lies, as perspective changes the distances along both.
  const there = nearestNumber(fine, q.x, q.y);
  const pitch = Math.abs(fine.lattice.spacing(there));
  const ratio = Math.abs(blocks.lattice.spacing(k)) / pitch;
  return across < MOST_APART * pitch && Math.abs(ratio / TEN - 1) < MOST_RATIO_ERROR;
}
