import type { Matrix3, PointPair } from "../../src/index.ts";

/** The homography through exactly four pairs: eight equations written out and solved by elimination with pivots. */
export function homographyByElimination(pairs: readonly PointPair[]): Matrix3 {
  const rows = pairs.flatMap(({ from: { x, y }, to: { x: u, y: v } }) => [
    [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
    [0, 0, 0, x, y, 1, -v * x, -v * y, v],
  ]);
  for (let c = 0; c < 8; c++) {
    let pivot = c;
    for (let r = c; r < 8; r++) if (Math.abs(rows[r]![c]!) > Math.abs(rows[pivot]![c]!)) pivot = r;
    [rows[c], rows[pivot]] = [rows[pivot]!, rows[c]!];
    for (let r = 0; r < 8; r++) {
      if (r === c) continue;
      const k = rows[r]![c]! / rows[c]![c]!;
      for (let i = c; i < 9; i++) rows[r]![i]! -= k * rows[c]![i]!;
    }
  }
  const h = rows.map((row, i) => row[8]! / row[i]!);
  return [
    [h[0]!, h[1]!, h[2]!],
    [h[3]!, h[4]!, h[5]!],
    [h[6]!, h[7]!, 1],
  ];
}
