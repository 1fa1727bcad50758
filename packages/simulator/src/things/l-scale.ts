import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { annulus, circle, placed, rect } from "../artwork/shapes.ts";
import { grey } from "../colour/colour.ts";
import { letter } from "../text/letter.ts";
import { GRADUATIONS, ticksOf } from "./graduation.ts";
import { bodyMarks, inkMarks, type ScaleStyle, styleOf } from "./scale-style.ts";
import type { Artwork, NamedPoint, Placed, RuledEdge } from "./thing.ts";

/**
 * An L-shaped scale of our own drawing: two legs graduated in millimetres along the inner edges from the inner
 * corner, centimetre blocks along the outer edges, three circles. Placed by its inner corner; the legs run along +x
 * and +y, the body lies outside the corner.
 */
export interface LScale extends Placed {
  readonly kind: "l-scale";
  /** Graduated length of each leg. */
  readonly legMm?: number;
  readonly legWidthMm?: number;
  readonly circleDiameterMm?: number;
  readonly style?: Partial<ScaleStyle>;
}

export function lScale(scale: LScale): Artwork {
  const style = styleOf(scale.style);
  const leg = scale.legMm ?? 80;
  const w = scale.legWidthMm ?? 25.4;
  const diameter = scale.circleDiameterMm ?? 10;
  const end = leg + 4;
  const body = Float64Array.of(-w, -w, end, -w, end, 0, 0, 0, 0, end, -w, end);
  const rings: Ring[] = [];
  const edges: RuledEdge[] = [];
  const half = style.tickWidthMm / 2;
  const graduation = GRADUATIONS.mm;
  const shortest = graduation.ranks[0]!.lengthMm;
  const longest = graduation.ranks[2]!.lengthMm;
  const cap = style.numeralHeightMm;
  const ticks = ticksOf(graduation, leg);
  for (const axis of ["x", "y"] as const) {
    const turned = (along: number, out: number): [number, number] =>
      axis === "x" ? [along, -out] : [-out, along];
    const box = (a0: number, o0: number, a1: number, o1: number): Ring => {
      const [x0, y0] = turned(a0, o0);
      const [x1, y1] = turned(a1, o1);
      return rect(x0, y0, x1, y1);
    };
    for (const tick of ticks) {
      rings.push(box(tick.mm - half, 0, tick.mm + half, tick.lengthMm));
      if (tick.mm % 10 === 0 && tick.mm > 0) {
        const [x, y] = turned(tick.mm, longest + 1 + cap / 2);
        rings.push(...letter(String(tick.mm / 10), x, y, { font: style.font, capHeightMm: cap }));
      }
    }
    // Centimetre blocks along the outer edge: filled, empty, filled …, with a middle line through the empty ones.
    for (let mm = 0; mm < leg - 1e-6; mm += 10) {
      const stop = Math.min(mm + 10, leg);
      if ((mm / 10) % 2 === 0) rings.push(box(mm, w - 4.5, stop, w - 1.5));
      else rings.push(box(mm, w - 4.5, stop, w - 4.5 + half * 2), box(mm, w - 1.5 - half * 2, stop, w - 1.5));
      if (stop === leg) rings.push(box(stop - half * 2, w - 4.5, stop, w - 1.5));
    }
    edges.push({
      edge: axis,
      unit: "mm",
      stepMm: 1,
      ticks: ticks.map(({ mm, rank }) => {
        const [x, y] = turned(mm, shortest / 2);
        return { mm, x, y, rank, missing: false };
      }),
    });
  }
  rings.push(...letter("cm", 4.6, -(longest + 1 + cap / 2), { font: style.font, capHeightMm: cap * 0.8 }));
  // Between the numerals and the blocks.
  const middle = (longest + 1 + cap + 0.4 + w - 4.5) / 2;
  const centres: NamedPoint[] = [
    { name: "corner circle", x: -middle, y: -middle },
    { name: "x circle", x: leg - diameter / 2 - 1, y: -middle },
    { name: "y circle", x: -middle, y: leg - diameter / 2 - 1 },
  ];
  const marks: Mark[] = bodyMarks([body], style);
  for (const { x, y } of centres) {
    // A clear ground under each circle, then ring, cross hairs and two dark quarters.
    marks.push(
      ink([circle(x, y, diameter / 2 + 0.5)], style.polarity === "light-on-dark" ? grey(0.03) : grey(0.84)),
    );
    rings.push(...annulus(x, y, diameter / 2, diameter / 2 - 0.5));
    rings.push(quarter(x, y, diameter / 2 - 1.4, 0), quarter(x, y, diameter / 2 - 1.4, 180));
  }
  marks.push(...inkMarks(rings, style));
  return {
    marks,
    shadow: { rings: [body], heightMm: style.material === "paper" ? 0.25 : 1 },
    wraps: false,
    edges,
    points: centres,
    facts: { circleDiameterMm: diameter, legMm: leg, material: style.material, polarity: style.polarity },
  };
}

function quarter(cx: number, cy: number, radius: number, turnDeg: number): Ring {
  const points: number[] = [0, 0];
  for (let i = 0; i <= 16; i++) {
    const a = (i / 16) * (Math.PI / 2);
    points.push(radius * Math.cos(a), radius * Math.sin(a));
  }
  return placed(Float64Array.from(points), cx, cy, turnDeg);
}
