import type { MarkerKind, ScaleId } from "./scale-id.ts";

/**
 * The drawing of our own scales, in millimetres, x right and y down, as the printer, the virtual camera and the reader
 * of photographs know it. The first ruled edge runs along +x from (0, 0), which is where the sheet is cut: the ticks stand
 * a little back from it, so that a cut that strays takes no tick away.
 */
export interface MarkerDesign {
  readonly kind: MarkerKind;
  /** Graduated length of the longest edge. */
  readonly nominalMm: number;
  /** Where the sheet is cut. */
  readonly outline: readonly XY[];
  readonly edges: readonly MarkerEdge[];
  readonly bars: readonly Bar[];
  readonly lettering: readonly Lettering[];
  /** The square code, without its blank margin. */
  readonly code: { readonly x: number; readonly y: number; readonly sizeMm: number };
}

export type XY = readonly [x: number, y: number];

export interface MarkerEdge {
  /** Along the design's x or its y. */
  readonly axis: "x" | "y";
  readonly lengthMm: number;
  /** One a millimetre: its number is its place. */
  readonly ticks: readonly Tick[];
}

export interface Tick {
  readonly mm: number;
  /** 0 a millimetre, 1 a fifth, 2 a tenth. */
  readonly rank: 0 | 1 | 2;
  readonly bar: Bar;
}

/** A black rectangle. */
export interface Bar {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** A line of text; `y` is the middle of its capitals. */
export interface Lettering {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly capHeightMm: number;
  readonly align: "left" | "middle";
}

/** How ticks and numerals are drawn. */
interface Manner {
  /** From the cut to the ticks. */
  readonly gap: number;
  /** Of a millimetre, a fifth, a tenth. */
  readonly lengths: readonly [number, number, number];
  /** Height of numerals. */
  readonly cap: number;
}

const TICK_WIDTH_MM = 0.2;
const LARGE: Manner = { gap: 1.2, lengths: [3, 4.5, 6], cap: 2.6 };
const SMALL: Manner = { gap: 0.9, lengths: [2.2, 3.3, 4.4], cap: 1.8 };

const BREADTH = 18;
/** Paper beyond the first and the last tick. */
const END = 5;
/** Sixteen modules; of 0.75 mm, they can be told apart in a picture at 3 px/mm and more. */
const CODE = 12;
const CODE_MARGIN = 3;
/** Unequal as the sides of a frame are, so that a picture shows which leg is which. */
const L_LEGS = { x: 90, y: 60 } as const;
const LABEL = { scale: 20, side: 3, height: 20, code: 9 } as const;

/** The drawing of one scale. */
export function markerDesign(kind: MarkerKind, id: ScaleId): MarkerDesign {
  switch (kind) {
    case "straight-50":
      return straight(kind, 50, id);
    case "straight-150":
      return straight(kind, 150, id);
    case "l":
      return lShaped(id);
    case "label":
      return label(id);
  }
}

function straight(kind: MarkerKind, lengthMm: number, id: ScaleId): MarkerDesign {
  const right = lengthMm + 4 + CODE + CODE_MARGIN;
  const edge = ruled("x", lengthMm, 1, LARGE);
  return {
    kind,
    nominalMm: lengthMm,
    outline: [
      [-END, 0],
      [right, 0],
      [right, BREADTH],
      [-END, BREADTH],
    ],
    edges: [edge],
    bars: barsOf([edge]),
    lettering: [
      ...numerals(edge, 1, LARGE),
      { text: plainText(id, lengthMm), x: -1, y: BREADTH - 3.4, capHeightMm: 1.8, align: "left" },
    ],
    code: { x: lengthMm + 4, y: CODE_MARGIN, sizeMm: CODE },
  };
}

/** Both legs are ruled along their inner edges, from the inner corner; the code fills the outer corner. */
function lShaped(id: ScaleId): MarkerDesign {
  const edges = [ruled("x", L_LEGS.x, -1, LARGE), ruled("y", L_LEGS.y, -1, LARGE)] as const;
  const [endX, endY] = [L_LEGS.x + END, L_LEGS.y + END];
  return {
    kind: "l",
    nominalMm: L_LEGS.x,
    outline: [
      [-BREADTH, -BREADTH],
      [endX, -BREADTH],
      [endX, 0],
      [0, 0],
      [0, endY],
      [-BREADTH, endY],
    ],
    edges,
    bars: barsOf(edges),
    lettering: [
      ...numerals(edges[0], -1, LARGE),
      ...numerals(edges[1], -1, LARGE),
      {
        text: plainText(id, `${L_LEGS.x} x ${L_LEGS.y}`),
        x: 4,
        y: 3.4 - BREADTH,
        capHeightMm: 1.8,
        align: "left",
      },
    ],
    code: { x: CODE_MARGIN - BREADTH, y: CODE_MARGIN - BREADTH, sizeMm: CODE },
  };
}

/** Small enough for skin beside a lesion; the free corner is for a word in pen. */
function label(id: ScaleId): MarkerDesign {
  const edge = ruled("x", LABEL.scale, 1, SMALL);
  const right = LABEL.scale + LABEL.side;
  return {
    kind: "label",
    nominalMm: LABEL.scale,
    outline: [
      [-LABEL.side, 0],
      [right, 0],
      [right, LABEL.height],
      [-LABEL.side, LABEL.height],
    ],
    edges: [edge],
    bars: barsOf([edge]),
    lettering: [...numerals(edge, 1, SMALL), { text: id, x: -1.5, y: 11.2, capHeightMm: 1.5, align: "left" }],
    code: { x: right - 2 - LABEL.code, y: LABEL.height - 2 - LABEL.code, sizeMm: LABEL.code },
  };
}

const plainText = (id: ScaleId, length: number | string) => `${length} mm   ${id}`;

/** Ticks along an axis; they grow to the side `away` of it, +1 or -1. */
function ruled(axis: "x" | "y", lengthMm: number, away: 1 | -1, { gap, lengths }: Manner): MarkerEdge {
  const half = TICK_WIDTH_MM / 2;
  const ticks = Array.from({ length: lengthMm + 1 }, (_, mm): Tick => {
    const rank = mm % 10 === 0 ? 2 : mm % 5 === 0 ? 1 : 0;
    const [near, far] = [away * gap, away * (gap + lengths[rank])];
    const [low, high] = [Math.min(near, far), Math.max(near, far)];
    const bar =
      axis === "x"
        ? { x0: mm - half, y0: low, x1: mm + half, y1: high }
        : { x0: low, y0: mm - half, x1: high, y1: mm + half };
    return { mm, rank, bar };
  });
  return { axis, lengthMm, ticks };
}

/** Centimetres beside the tenths, and the unit's word between the first two. */
function numerals({ axis, lengthMm }: MarkerEdge, away: 1 | -1, { gap, lengths, cap }: Manner): Lettering[] {
  const out = away * (gap + lengths[2] + 1 + cap / 2);
  const at = (mm: number) => (axis === "x" ? { x: mm, y: out } : { x: out, y: mm });
  const lettering: Lettering[] = [{ text: "cm", ...at(5), capHeightMm: 0.75 * cap, align: "middle" }];
  for (let mm = 0; mm <= lengthMm; mm += 10) {
    lettering.push({ text: String(mm / 10), ...at(mm), capHeightMm: cap, align: "middle" });
  }
  return lettering;
}

const barsOf = (edges: readonly MarkerEdge[]) => edges.flatMap(({ ticks }) => ticks.map(({ bar }) => bar));
