import { requirePositive } from "./check.ts";

/** The f-numbers that cameras mark, in third stops, as they are written. */
const MARKED = [
  1, 1.1, 1.2, 1.4, 1.6, 1.8, 2, 2.2, 2.5, 2.8, 3.2, 3.5, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9, 10, 11, 13, 14, 16,
  18, 20, 22, 25, 29, 32, 36, 40, 45, 51, 57, 64, 72, 81, 91,
];

/**
 * The marked third-stop f-number nearest to a computed one, nearest in stops; null outside f/1 to f/91,
 * where nothing is marked. The names are the trade's rounded ones: f/11 is truly 11.31. Fault: an f-number
 * not above 0. The names are common practice, no source.
 * @example nearestMarkedFNumber(14.37) // 14
 */
export function nearestMarkedFNumber(fNumber: number): number | null {
  const thirds = Math.round(6 * Math.log2(requirePositive("fNumber", fNumber)));
  return MARKED[thirds] ?? null;
}
