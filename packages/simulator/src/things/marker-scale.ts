import {
  codeTextOf,
  type Lettering,
  type MarkerEdge,
  type MarkerKind,
  markerDesign,
  newScaleId,
  type ScaleId,
} from "@samescale/marker";
import { codeArt } from "../artwork/code.ts";
import type { Ring } from "../artwork/mark.ts";
import { placed, rect } from "../artwork/shapes.ts";
import { letter } from "../text/letter.ts";
import { cornersOf } from "./card.ts";
import { bodyMarks, inkMarks, type ScaleStyle, styleOf } from "./scale-style.ts";
import type { Artwork, Placed, RuledEdge } from "./thing.ts";

/** Our own printed scale, cut out. Placed by its middle; the first edge runs along +x. */
export interface MarkerScale extends Placed {
  readonly kind: "marker-scale";
  readonly scale: MarkerKind;
  /** Default: one and the same id for each kind. */
  readonly scaleId?: ScaleId;
  /** What the printer made of it: true over drawn length along the design's x and y. Default 1: true to size. */
  readonly stretch?: { readonly x: number; readonly y: number };
  readonly style?: Partial<ScaleStyle>;
}

export function markerScale(thing: MarkerScale): Artwork {
  const id = thing.scaleId ?? newScaleId(thing.scale, () => 0.5);
  const design = markerDesign(thing.scale, id);
  const { code } = design;
  const style = styleOf({ material: "paper", ...thing.style });
  const { x: sx, y: sy } = thing.stretch ?? { x: 1, y: 1 };
  const [xs, ys] = [design.outline.map(([x]) => x), design.outline.map(([, y]) => y)];
  const middle = { x: (Math.min(...xs) + Math.max(...xs)) / 2, y: (Math.min(...ys) + Math.max(...ys)) / 2 };
  const printed = (x: number, y: number) => ({ x: (x - middle.x) * sx, y: (y - middle.y) * sy });
  const stretched = (ring: Ring): Ring =>
    ring.map((value, i) => (i % 2 === 0 ? (value - middle.x) * sx : (value - middle.y) * sy));
  const body = stretched(Float64Array.from(design.outline.flat()));
  const corner = printed(code.x, code.y);
  const rings = [
    ...design.bars.map(({ x0, y0, x1, y1 }) => rect(x0, y0, x1, y1)),
    ...design.lettering.flatMap(lettered),
    ...codeArt("datamatrix", codeTextOf(id), code.sizeMm).rings.map((ring) => placed(ring, code.x, code.y)),
  ].map(stretched);
  return {
    marks: [...bodyMarks([body], style), ...inkMarks(rings, style)],
    shadow: { rings: [body], heightMm: 0.25 },
    wraps: thing.scale === "label",
    edges: design.edges.map((edge) => ruled(edge, printed)),
    points: cornersOf("code", corner.x, corner.y, code.sizeMm * sx, code.sizeMm * sy),
    facts: { scale: thing.scale, scaleId: id, stretch: { x: sx, y: sy }, material: style.material },
  };
}

const lettered = ({ text, x, y, capHeightMm, align }: Lettering): Ring[] =>
  letter(text, x, y, { font: "regular", capHeightMm, alignX: align === "left" ? -1 : 0 });

/** `mm`: what a tick stands for; its place is where the printer put it. */
function ruled(
  { axis, ticks }: MarkerEdge,
  printed: (x: number, y: number) => { readonly x: number; readonly y: number },
): RuledEdge {
  const { bar: shortest } = ticks.find(({ rank }) => rank === 0)!;
  const across = axis === "x" ? (shortest.y0 + shortest.y1) / 2 : (shortest.x0 + shortest.x1) / 2;
  return {
    edge: axis === "x" ? "first" : "second",
    unit: "mm",
    stepMm: 1,
    ticks: ticks.map(({ mm, rank }) => {
      const place = axis === "x" ? printed(mm, across) : printed(across, mm);
      return { mm, ...place, rank, missing: false };
    }),
  };
}
