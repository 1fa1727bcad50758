import { BURNT_OUT } from "../colour/clipping.ts";
import { RGB_TO_XYZ_D65, srgbToLinear, WHITE_D65 } from "../colour/space.ts";
import type { UprightPicture } from "../decode/picture.ts";

/** A picture laid out in square cells; each holds what a few of its pixels say. Row by row. */
export interface Reduced {
  readonly columns: number;
  readonly rows: number;
  /** Side of a cell in full-size px. */
  readonly cellPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Mean linear light, sRGB primaries, interleaved; 1 = white. */
  readonly linear: Float32Array;
  /** Mean colour, CIE L*a*b* (D65), interleaved. */
  readonly lab: Float32Array;
  /** Luminance of the mean, 1 = white. */
  readonly luminance: Float32Array;
  /** Share of the pixels looked at that have lost a channel at the top, 0 to 1. */
  readonly burnt: Float32Array;
  /** Share of them that has all channels at the top. */
  readonly white: Float32Array;
  /** Share of them that is too dark in all channels to hold detail. */
  readonly blocked: Float32Array;
  /** Standard deviation of the green among them, coded levels: how much goes on within the cell. */
  readonly detail: Float32Array;
}

/** Cells along the long side: fine enough for a finger, few enough to be looked at in no time. */
const CELLS = 256;
/** Pixels looked at in a cell: so many each way. */
const SAMPLES = 4;
/** The highest of three channels at or below this coded value: under 1/400 of white, where 8 bits leave about eight steps. */
const BLOCKED = 8;

const [X, Y, Z] = RGB_TO_XYZ_D65;

/** The curve of CIE L*a*b*, written out as this is done for every cell. @source CIE15 */
const labOf = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : ((24389 / 27) * t + 16) / 116);

const linearOf = Float32Array.from({ length: 256 }, (_, v) => srgbToLinear(v / 255));

/** Looks at the full-size pixels themselves, so that what is clipped is seen as such. */
export function reduced({ widthPx, heightPx, rgb }: UprightPicture): Reduced {
  const cellPx = Math.max(1, Math.max(widthPx, heightPx) / CELLS);
  const columns = Math.max(1, Math.floor(widthPx / cellPx + 1e-9));
  const rows = Math.max(1, Math.floor(heightPx / cellPx + 1e-9));
  const n = columns * rows;
  const made = {
    linear: new Float32Array(3 * n),
    lab: new Float32Array(3 * n),
    luminance: new Float32Array(n),
    burnt: new Float32Array(n),
    white: new Float32Array(n),
    blocked: new Float32Array(n),
    detail: new Float32Array(n),
  };
  const side = Math.min(SAMPLES, Math.ceil(cellPx));
  const share = 1 / (side * side);
  const offsets = Array.from({ length: side }, (_, i) => ((i + 0.5) * cellPx) / side);
  for (let row = 0, cell = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++, cell++) {
      let [r, g, b, burnt, white, blocked, level, level2] = [0, 0, 0, 0, 0, 0, 0, 0];
      for (const dy of offsets) {
        const line = Math.min(heightPx - 1, Math.floor(row * cellPx + dy)) * widthPx;
        for (const dx of offsets) {
          const at = 3 * (line + Math.min(widthPx - 1, Math.floor(column * cellPx + dx)));
          const [pr, pg, pb] = [rgb[at]!, rgb[at + 1]!, rgb[at + 2]!];
          r += linearOf[pr]!;
          g += linearOf[pg]!;
          b += linearOf[pb]!;
          level += pg;
          level2 += pg * pg;
          if (pr >= BURNT_OUT || pg >= BURNT_OUT || pb >= BURNT_OUT) {
            burnt++;
            if (pr >= BURNT_OUT && pg >= BURNT_OUT && pb >= BURNT_OUT) white++;
          } else if (pr <= BLOCKED && pg <= BLOCKED && pb <= BLOCKED) blocked++;
        }
      }
      const [lr, lg, lb] = [r * share, g * share, b * share];
      const y = Y[0] * lr + Y[1] * lg + Y[2] * lb;
      const [fx, fy, fz] = [
        labOf((X[0] * lr + X[1] * lg + X[2] * lb) / WHITE_D65[0]),
        labOf(y),
        labOf((Z[0] * lr + Z[1] * lg + Z[2] * lb) / WHITE_D65[2]),
      ];
      const at = 3 * cell;
      made.linear[at] = lr;
      made.linear[at + 1] = lg;
      made.linear[at + 2] = lb;
      made.lab[at] = 116 * fy - 16;
      made.lab[at + 1] = 500 * (fx - fy);
      made.lab[at + 2] = 200 * (fy - fz);
      made.luminance[cell] = y;
      made.burnt[cell] = burnt * share;
      made.white[cell] = white * share;
      made.blocked[cell] = blocked * share;
      made.detail[cell] = Math.sqrt(Math.max(0, level2 * share - (level * share) ** 2));
    }
  }
  return { columns, rows, cellPx, widthPx, heightPx, ...made };
}
