import { ink, type Mark, type Rgb, type Ring } from "../artwork/mark.ts";
import { placed } from "../artwork/shapes.ts";
import { grey, rgb8 } from "../colour/colour.ts";
import { gridded } from "../noise/gridded.ts";
import { fractalNoise, smoothNoise, smoothstep, unit2 } from "../noise/hash.ts";
import type { FontName } from "../text/fonts.ts";

export type Material = "paper" | "plastic" | "clear" | "steel" | "wood" | "adhesive" | "tape";

/** How a scale is made. */
export interface ScaleStyle {
  readonly material: Material;
  readonly polarity: "dark-on-light" | "light-on-dark";
  readonly tickWidthMm: number;
  /** 1 = full ink; less = faint. */
  readonly inkDensity: number;
  /** Cut into the material: a dark groove with a bright flank. */
  readonly engraved: boolean;
  readonly font: FontName;
  readonly numeralHeightMm: number;
  /** How numerals stand to the ruled edge: read with the edge above, below, or at the left. */
  readonly numerals: "upright" | "inverted" | "along" | "none";
  /** Between the body's edge and the ticks; 0 = bars run into the edge. */
  readonly edgeGapMm: number;
  readonly baseLine: boolean;
  /** 0 = new, 1 = rubbed nearly blank in places. */
  readonly wear: number;
  /** Unevenness of the material itself: 1 = usual, 0 = perfectly even. */
  readonly grain: number;
  readonly seed: number;
}

export const STANDARD_STYLE: ScaleStyle = {
  material: "plastic",
  polarity: "dark-on-light",
  tickWidthMm: 0.18,
  inkDensity: 1,
  engraved: false,
  font: "regular",
  numeralHeightMm: 2.6,
  numerals: "upright",
  edgeGapMm: 0,
  baseLine: false,
  wear: 0,
  grain: 1,
  seed: 1,
};

export const styleOf = (overrides: Partial<ScaleStyle> = {}): ScaleStyle => ({
  ...STANDARD_STYLE,
  ...overrides,
});

const PAPER_WHITE = 0.86;
const INK_BLACK = 0.035;

/** The body of a scale: its material. */
export function bodyMarks(rings: readonly Ring[], style: ScaleStyle): Mark[] {
  const dark = style.polarity === "light-on-dark";
  const { seed, grain } = style;
  switch (style.material) {
    case "clear":
      return [
        // Clear plastic takes a little light and shows a pale veil; its cut edges are brighter.
        { rings, fill: { kind: "stain", shade: (_x, _y, out) => out.set([0.9, 0.91, 0.9]) } },
        ink(rings, grey(dark ? 0.02 : 0.8), dark ? 0.5 : 0.07),
      ];
    case "steel":
      return [{ rings, fill: { kind: "paint", shade: steel(seed) } }];
    case "wood":
      return [{ rings, fill: { kind: "paint", shade: wood(seed) } }];
    case "tape":
      return [{ rings, fill: { kind: "paint", shade: tape(seed) } }];
    default: {
      const base: Rgb = dark
        ? grey(0.03)
        : style.material === "plastic"
          ? [0.84, 0.84, 0.82]
          : style.material === "adhesive"
            ? [0.85, 0.86, 0.85]
            : [PAPER_WHITE, PAPER_WHITE * 0.99, PAPER_WHITE * 0.965];
      const even = gridded((x, y) => 1 + grain * 0.015 * smoothNoise(x * 0.08, y * 0.08, seed), 240, 240, 4);
      return [
        {
          rings,
          fill: {
            kind: "paint",
            shade: (x, y, out) => {
              const k = even(x, y);
              out[0] = base[0] * k;
              out[1] = base[1] * k;
              out[2] = base[2] * k;
              out[3] = 1;
            },
          },
        },
      ];
    }
  }
}

/** The printed or cut marks of a scale. */
export function inkMarks(rings: readonly Ring[], style: ScaleStyle, colour?: Rgb): Mark[] {
  const light = style.polarity === "light-on-dark";
  const rgb: Rgb = colour ?? (light ? grey(PAPER_WHITE) : grey(INK_BLACK));
  const marks: Mark[] = [];
  if (style.engraved) {
    const flank = style.tickWidthMm * 0.9;
    marks.push(
      ink(
        rings.map((ring) => placed(ring, flank * 0.7, flank * 0.7)),
        grey(1),
        0.35,
      ),
    );
  }
  if (style.wear <= 0) {
    marks.push(ink(rings, rgb, style.inkDensity));
    return marks;
  }
  const { seed, wear, inkDensity } = style;
  marks.push({
    rings,
    fill: {
      kind: "paint",
      shade: (x, y, out) => {
        const rubbed = fractalNoise(x / 9, y / 6, seed + 5, 4, 0.65);
        out[0] = rgb[0];
        out[1] = rgb[1];
        out[2] = rgb[2];
        out[3] = inkDensity * (1 - wear * 0.95 * smoothstep(0.35 - wear * 0.7, 0.75 - wear * 0.5, rubbed));
      },
    },
  });
  return marks;
}

function steel(seed: number): (x: number, y: number, out: Float64Array) => void {
  return (x, y, out) => {
    const brush = 0.035 * smoothNoise(x * 0.35, y * 14, seed) + 0.02 * smoothNoise(x * 0.9, y * 31, seed + 1);
    const sheen = 0.1 * smoothNoise(x * 0.018, y * 0.05, seed + 2);
    const k = 0.42 + brush + sheen;
    out[0] = k * 0.98;
    out[1] = k;
    out[2] = k * 1.01;
    out[3] = 1;
  };
}

const WOOD: Rgb = rgb8(206, 168, 112);

function wood(seed: number): (x: number, y: number, out: Float64Array) => void {
  return (x, y, out) => {
    const bend = 1.6 * smoothNoise(x * 0.02, y * 0.08, seed);
    const ring = 0.5 + 0.5 * Math.sin((y + bend) * 2.4 + 2 * smoothNoise(x * 0.01, y * 0.3, seed + 1));
    const pore = unit2(Math.floor(x * 0.8), Math.floor(y * 9), seed + 2) > 0.93 ? 0.12 : 0;
    const k = 0.86 + 0.2 * ring + 0.06 * smoothNoise(x * 0.3, y * 6, seed + 3) - pore;
    out[0] = WOOD[0] * k;
    out[1] = WOOD[1] * k;
    out[2] = WOOD[2] * k;
    out[3] = 1;
  };
}

const TAPE: Rgb = rgb8(236, 222, 150);

/** Coated glass cloth: the threads show faintly through the yellow coat. */
function tape(seed: number): (x: number, y: number, out: Float64Array) => void {
  return (x, y, out) => {
    const threads = 0.012 * Math.sin(x * 11) + 0.012 * Math.sin(y * 11);
    const k = 1 + threads + 0.02 * smoothNoise(x * 0.1, y * 0.1, seed);
    for (let i = 0; i < 3; i++) out[i] = TAPE[i]! * k;
    out[3] = 1;
  };
}
