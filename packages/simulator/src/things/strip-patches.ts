import { ink, type Mark } from "../artwork/mark.ts";
import { rect } from "../artwork/shapes.ts";
import { CHART_PATCHES } from "../chart/patches.ts";
import { grey, linearFromLab } from "../colour/colour.ts";

/** Six greys from white to black, and the six primaries of the 24-patch chart. */
const GREYS = [0.84, 0.48, 0.25, 0.12, 0.06, 0.035];
const PRIMARIES = [12, 13, 14, 15, 16, 17];
const HEIGHT_MM = 7;
const MARGIN_MM = 1;

/** A row of patches along the +y side of a strip `lengthMm` long that ends at y = `edgeY`. */
export function patchMarks(lengthMm: number, edgeY: number): Mark[] {
  const count = GREYS.length + PRIMARIES.length;
  const width = lengthMm / count;
  const colours = [
    ...GREYS.map((level) => grey(level)),
    ...PRIMARIES.map((i) => linearFromLab(CHART_PATCHES[i]!.lab)),
  ];
  return colours.map(([r, g, b], i) => {
    const x = -lengthMm / 2 + i * width;
    const patch = rect(x, edgeY - MARGIN_MM - HEIGHT_MM, x + width, edgeY - MARGIN_MM);
    return ink([patch], [Math.max(0, r), Math.max(0, g), Math.max(0, b)]);
  });
}
