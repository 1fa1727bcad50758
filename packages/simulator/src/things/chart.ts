import { ink, type Mark, type Rgb } from "../artwork/mark.ts";
import { rect, roundedRect } from "../artwork/shapes.ts";
import { CHART_PATCHES } from "../chart/patches.ts";
import { encodeSrgb, grey, linearFromLab } from "../colour/colour.ts";
import type { Artwork, NamedPoint, Placed } from "./thing.ts";

/** A 24-patch colour chart, 6 x 4. Placed by its middle; dark skin lies at its -x -y corner. */
export interface ColourChart extends Placed {
  readonly kind: "chart";
  /** Distance between patch centres; the patches take 82 % of it. */
  readonly patchMm?: number;
}

const CORNERS = [0, 5, 23, 18]; // dark skin, bluish green, black, white
const NAMES = ["dark skin", "bluish green", "black", "white"];

export function colourChart(thing: ColourChart): Artwork {
  const pitch = thing.patchMm ?? 10;
  const side = pitch * 0.82;
  const w = pitch * 6.35;
  const h = pitch * 4.35;
  const body = roundedRect(-w / 2, -h / 2, w / 2, h / 2, pitch * 0.2);
  const marks: Mark[] = [ink([body], grey(0.032))];
  const centres = CHART_PATCHES.map(
    (_, i) => [((i % 6) - 2.5) * pitch, (Math.floor(i / 6) - 1.5) * pitch] as const,
  );
  CHART_PATCHES.forEach(({ lab }, i) => {
    const [x, y] = centres[i]!;
    marks.push(
      ink([rect(x - side / 2, y - side / 2, x + side / 2, y + side / 2)], inGamut(linearFromLab(lab))),
    );
  });
  const points: NamedPoint[] = CORNERS.map((patch, i) => {
    const [x, y] = centres[patch]!;
    return { name: `${NAMES[i]} centre`, x, y };
  });
  centres.forEach(([x, y], i) => {
    points.push({ name: `patch ${i + 1}`, x, y });
  });
  return {
    marks,
    shadow: { rings: [body], heightMm: 1 },
    wraps: false,
    points,
    facts: {
      patchMm: pitch,
      patches: CHART_PATCHES.map(({ name, lab }) => ({
        name,
        labD50: lab,
        // What a neutral, even light and a perfect camera would record.
        srgb8: linearFromLab(lab).map((v) => Math.round(255 * encodeSrgb(v))),
      })),
    },
  };
}

/** One patch lies outside the sRGB gamut: no light is less than none. */
const inGamut = ([r, g, b]: Rgb): Rgb => [Math.max(0, r), Math.max(0, g), Math.max(0, b)];
