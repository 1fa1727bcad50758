import { codeArt } from "../artwork/code.ts";
import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { placed, rect, roundedRect } from "../artwork/shapes.ts";
import { grey } from "../colour/colour.ts";
import { letter } from "../text/letter.ts";
import { cornersOf } from "./card.ts";
import { GRADUATIONS, ticksOf } from "./graduation.ts";
import { bodyMarks, inkMarks, type ScaleStyle, styleOf } from "./scale-style.ts";
import type { Artwork, NamedPoint, Placed, RuledEdge } from "./thing.ts";

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

/**
 * A printed card with a code in each corner and millimetre ticks along two edges. Each code carries the card's name
 * and its own corner (1 to 4, clockwise from the top left). Placed by its middle.
 */
export interface MarkerScale extends Placed {
  readonly kind: "marker-scale";
  readonly name: string;
  readonly widthMm?: number;
  readonly heightMm?: number;
  readonly codeMm?: number;
}

export function markerScale(thing: MarkerScale): Artwork {
  const w = thing.widthMm ?? 90;
  const h = thing.heightMm ?? 55;
  const size = thing.codeMm ?? 9;
  const inset = 3;
  const style = styleOf({ material: "paper", numeralHeightMm: 2.2 });
  const body = rect(-w / 2, -h / 2, w / 2, h / 2);
  const rings: Ring[] = [];
  const points: NamedPoint[] = [];
  const spots = [
    [-w / 2 + inset, -h / 2 + inset],
    [w / 2 - inset - size, -h / 2 + inset],
    [w / 2 - inset - size, h / 2 - inset - size],
    [-w / 2 + inset, h / 2 - inset - size],
  ] as const;
  spots.forEach(([x, y], i) => {
    const art = codeArt("datamatrix", `${thing.name}-${i + 1}`, size);
    rings.push(...art.rings.map((ring) => placed(ring, x, y)));
    points.push(...cornersOf(`code ${i + 1}`, x, y, size, size));
  });
  const edges: RuledEdge[] = [];
  const length = Math.floor((w - 2 * (inset + size + 3)) / 10) * 10;
  const half = style.tickWidthMm / 2;
  for (const [edge, sign] of [
    ["first", 1],
    ["second", -1],
  ] as const) {
    const y0 = sign * (-h / 2 + inset);
    const ticks = ticksOf(GRADUATIONS.mm, length);
    for (const tick of ticks) {
      const x = sign * (tick.mm - length / 2);
      rings.push(rect(x - half, y0, x + half, y0 + sign * tick.lengthMm));
      if (tick.mm % 10 === 0) {
        const turnDeg = sign === 1 ? 0 : 180;
        rings.push(
          ...letter(String(tick.mm / 10), x, y0 + sign * 8, {
            font: style.font,
            capHeightMm: style.numeralHeightMm,
            turnDeg,
          }),
        );
      }
    }
    edges.push({
      edge,
      unit: "mm",
      stepMm: 1,
      ticks: ticks.map(({ mm, rank }) => ({
        mm,
        x: sign * (mm - length / 2),
        y: y0 + (sign * GRADUATIONS.mm.ranks[0]!.lengthMm) / 2,
        rank,
        missing: false,
      })),
    });
  }
  const marks: Mark[] = [...bodyMarks([body], style), ink(rings, grey(0.035))];
  return {
    marks,
    shadow: { rings: [body], heightMm: 0.3 },
    wraps: false,
    edges,
    points,
    facts: { name: thing.name, codes: spots.map((_, i) => `${thing.name}-${i + 1}`), codeMm: size },
  };
}
