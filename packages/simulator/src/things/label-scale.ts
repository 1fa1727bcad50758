import type { Ring } from "../artwork/mark.ts";
import { rect, roundedRect } from "../artwork/shapes.ts";
import { letter } from "../text/letter.ts";
import { GRADUATIONS, ticksOf } from "./graduation.ts";
import { bodyMarks, inkMarks, type ScaleStyle, styleOf } from "./scale-style.ts";
import type { Artwork, Placed, RuledEdge } from "./thing.ts";

/** An adhesive label with a 2 cm scale and lines to write on; it follows the skin. Placed by its middle. */
export interface LabelScale extends Placed {
  readonly kind: "label-scale";
  readonly lines?: readonly string[];
  readonly style?: Partial<ScaleStyle>;
}

const LABEL = { width: 32, height: 16, scaleMm: 20 };

export function labelScale(thing: LabelScale): Artwork {
  const style = styleOf({ material: "adhesive", tickWidthMm: 0.16, numeralHeightMm: 1.8, ...thing.style });
  const { width: w, height: h, scaleMm } = LABEL;
  const body = roundedRect(-w / 2, -h / 2, w / 2, h / 2, 1.5);
  const x0 = -scaleMm / 2;
  const y0 = -h / 2 + 0.9;
  const half = style.tickWidthMm / 2;
  const ticks = ticksOf(GRADUATIONS.mm, scaleMm);
  const scale = 0.72; // shorter ticks than on a ruler
  const rings: Ring[] = [rect(x0 - half, y0 - half, x0 + scaleMm + half, y0 + half)];
  for (const tick of ticks)
    rings.push(rect(x0 + tick.mm - half, y0, x0 + tick.mm + half, y0 + tick.lengthMm * scale));
  for (const cm of [0, 1, 2]) {
    rings.push(
      ...letter(String(cm), x0 + cm * 10, y0 + 6.1, { font: style.font, capHeightMm: style.numeralHeightMm }),
    );
  }
  rings.push(
    ...letter("cm", x0 + 5, y0 + 6.1, { font: style.font, capHeightMm: style.numeralHeightMm * 0.8 }),
  );
  (thing.lines ?? []).slice(0, 2).forEach((line, i) => {
    rings.push(
      ...letter(line, -w / 2 + 1.5, y0 + 9.3 + i * 3, { font: "regular", capHeightMm: 1.7, alignX: -1 }),
    );
  });
  const edge: RuledEdge = {
    edge: "first",
    unit: "mm",
    stepMm: 1,
    ticks: ticks.map(({ mm, rank }) => ({
      mm,
      x: x0 + mm,
      y: y0 + (GRADUATIONS.mm.ranks[0]!.lengthMm * scale) / 2,
      rank,
      missing: false,
    })),
  };
  return {
    marks: [...bodyMarks([body], style), ...inkMarks(rings, style)],
    shadow: { rings: [body], heightMm: 0.15 },
    wraps: true,
    edges: [edge],
    facts: { material: style.material },
  };
}
