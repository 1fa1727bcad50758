import { createRequire } from "node:module";

// Its one file; imported, it is 150 of them, which every program and every thread would read (0.1 s of a processor).
const { differenceCiede2000 } = createRequire(import.meta.url)("culori") as typeof import("culori");

/** CIE L*a*b*; the white it refers to is named by the variable that holds it (`labD50`). */
export type Lab = readonly [l: number, a: number, b: number];

const ciede2000 = differenceCiede2000(1, 1, 1);

/**
 * Colour difference CIEDE2000 (kL = kC = kH = 1) between two colours given against the same white. The formula
 * knows no white of its own, so D50 values go in as they are: the library's mode is named `lab65`, and values
 * already in that mode are not converted.
 *
 * @source SharmaWuDalal2005 @example deltaE00([50, 2.6772, -79.7751], [50, 0, -82.7485]) // 2.0425
 */
export function deltaE00(one: Lab, other: Lab): number {
  return ciede2000(
    { mode: "lab65", l: one[0], a: one[1], b: one[2] },
    { mode: "lab65", l: other[0], a: other[1], b: other[2] },
  );
}
