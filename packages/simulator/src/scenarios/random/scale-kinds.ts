import type { Thing } from "../../scene/scene.ts";
import type { Placement } from "../../surface/pose.ts";
import { GRADUATIONS, type GraduationName } from "../../things/graduation.ts";
import type { Material, ScaleStyle } from "../../things/scale-style.ts";
import type { Blocks, StraightScale } from "../../things/straight-scale.ts";
import type { Draw } from "./draw.ts";

/** Every kind of scale that a picture may hold, by how often. */
const KINDS = [
  [10, "mm"],
  [6, "mm numbered by ten"],
  [7, "half-mm"],
  [3, "cm only"],
  [4, "mm equal"],
  [4, "inch/8"],
  [4, "inch/16"],
  [4, "inch/32"],
  [4, "inch/10"],
  [5, "mm + inch/16"],
  [3, "mm + inch/8"],
  [2, "mm + inch/10"],
  [2, "mm + inch/32"],
  [14, "L"],
  [8, "label"],
  [6, "colour strip"],
  [4, "blocks"],
  [5, "blocks subdivided"],
  [3, "graph paper"],
  [4, "marker"],
] as const;
export type ScaleKind = (typeof KINDS)[number][1];

export const anyKind = (draw: Draw): ScaleKind => draw.weighted(KINDS);

const EDGES: Readonly<Partial<Record<ScaleKind, readonly GraduationName[]>>> = {
  mm: ["mm"],
  "mm numbered by ten": ["mm-by-ten"],
  "half-mm": ["half-mm"],
  "cm only": ["cm"],
  "mm equal": ["mm-equal"],
  "inch/8": ["inch/8"],
  "inch/16": ["inch/16"],
  "inch/32": ["inch/32"],
  "inch/10": ["inch/10"],
  "mm + inch/16": ["mm", "inch/16"],
  "mm + inch/8": ["mm", "inch/8"],
  "mm + inch/10": ["mm", "inch/10"],
  "mm + inch/32": ["mm-by-ten", "inch/32"],
  "colour strip": ["mm"],
};

/** Distance of the finest graduations. */
export function finestMm(kind: ScaleKind): number {
  if (kind === "blocks") return 10;
  return Math.min(...(EDGES[kind] ?? ["mm"]).map((name) => GRADUATIONS[name].stepMm));
}

/** Whether its own bars are so far apart that they are coarse whatever the picture's scale. */
export const isCoarse = (kind: ScaleKind): boolean => kind === "cm only" || kind === "blocks";

/** Its width, roughly; of an L the part with graduations. */
export function acrossMm(kind: ScaleKind): number {
  if (kind === "L") return 8;
  if (kind === "label") return 16;
  return kind.includes("+") ? 30 : 22;
}

/** A scale of a kind in one make, to be laid somewhere. */
export interface MadeScale {
  readonly kind: ScaleKind;
  readonly material: Material;
  readonly polarity: ScaleStyle["polarity"];
  readonly numerals: ScaleStyle["numerals"];
  /** Whether the unit's word stands on it. */
  readonly word: boolean;
  /** Graduated length. */
  readonly lengthMm: number;
  at(placement: Placement): Thing;
}

export interface Wishes {
  readonly seed: number;
  readonly kind: ScaleKind;
  /** Longer than this it leaves the picture. */
  readonly mostMm: number;
  /** Let it leave the picture. */
  readonly part: boolean;
  readonly worn: boolean;
  readonly faint: boolean;
  readonly bowed: boolean;
  readonly curved: boolean;
}

/** A scale of the kind asked for, in any make. */
export function anyScale(draw: Draw, wishes: Wishes): MadeScale {
  const { kind } = wishes;
  const style = anyStyle(draw, wishes);
  const made = {
    kind,
    material: style.material,
    polarity: style.polarity,
    numerals: style.numerals,
    word: style.numerals !== "none" && draw.chance(0.7),
  };
  switch (kind) {
    case "L":
      return lScaleOf(draw, wishes, made, style);
    case "label":
      return {
        ...made,
        material: "adhesive",
        numerals: "upright",
        word: true,
        lengthMm: 20,
        at: (placement) => ({
          kind: "label-scale",
          placement,
          lines: draw.chance(0.5) ? ["AB 1204", "left forearm"] : [],
          style: {
            ...style,
            material: "adhesive",
            tickWidthMm: Math.min(0.2, style.tickWidthMm),
            numeralHeightMm: 1.8,
          },
        }),
      };
    case "marker":
      return {
        ...made,
        material: "paper",
        polarity: "dark-on-light",
        numerals: "upright",
        word: true,
        lengthMm: 50,
        at: (placement) => ({ kind: "marker-scale", scale: "straight-50", placement }),
      };
    case "graph paper": {
      const side = Math.max(20, Math.min(120, Math.round((wishes.mostMm * draw.between(0.5, 1)) / 10) * 10));
      return {
        ...made,
        material: "paper",
        polarity: "dark-on-light",
        numerals: "none",
        word: false,
        lengthMm: side,
        at: (placement) => ({
          kind: "pattern",
          pattern: "grid",
          placement,
          widthMm: side + 0.5,
          heightMm: 0.7 * side + 0.5,
          pitchMm: 1,
        }),
      };
    }
    default:
      return straightOf(draw, wishes, made, style);
  }
}

type Made = Omit<MadeScale, "lengthMm" | "at">;

function lScaleOf(draw: Draw, wishes: Wishes, made: Made, style: ScaleStyle): MadeScale {
  const legMm = lengthFrom(draw, [30, 50, 60, 80, 100, 150], 0.6 * wishes.mostMm, wishes.part, 30);
  // Below 40 mm the circles need a narrower place.
  const small = legMm < 40;
  return {
    ...made,
    numerals: "upright",
    word: true,
    lengthMm: legMm,
    at: (placement) => ({
      kind: "l-scale",
      placement,
      legMm,
      legWidthMm: small ? 20 : 25.4,
      circleDiameterMm: small ? 5 : 10,
      style: { ...style, numeralHeightMm: small ? 2 : style.numeralHeightMm },
    }),
  };
}

function straightOf(draw: Draw, wishes: Wishes, made: Made, style: ScaleStyle): MadeScale {
  const { kind } = wishes;
  const inches = kind.startsWith("inch");
  const lengths = inches
    ? [2, 3, 4, 6, 12].map((n) => n * 25.4)
    : [20, 30, 50, 80, 100, 150, 200, 300].filter((n) => !isCoarse(kind) || n >= 50);
  const lengthMm = lengthFrom(
    draw,
    lengths,
    wishes.mostMm,
    wishes.part,
    inches ? 25.4 : isCoarse(kind) ? 40 : 20,
  );
  const blocks: Blocks | null = kind.startsWith("blocks")
    ? {
        blockMm: 10,
        subdivided: kind === "blocks subdivided",
        outlined: draw.chance(0.5),
        numbered: draw.pick(["mm", "cm"]),
      }
    : null;
  const edges = (blocks ? [blocks] : EDGES[kind]) as StraightScale["edges"];
  const arc = wishes.bowed ? lengthMm * draw.between(0.01, 0.04) * (draw.chance(0.5) ? 1 : -1) : 0;
  const upwards = draw.chance(0.5);
  const wraps = wishes.curved && (style.material === "tape" || style.material === "paper");
  const scale: Omit<StraightScale, "placement"> = {
    kind: "straight-scale",
    lengthMm,
    edges,
    ...(kind === "colour strip" && { patches: true, widthMm: 20 }),
    ...(style.material === "tape" && edges.length === 1 && { widthMm: 14, marginMm: 6 }),
    ...(arc !== 0 && (upwards ? { liftMm: arc } : { bowMm: arc })),
    ...(wraps && { wraps }),
    style,
    word: made.word,
  };
  return { ...made, lengthMm, at: (placement) => ({ ...scale, placement }) };
}

/** One of the lengths that are made: one that fits, or one that is too long by half or more. */
function lengthFrom(
  draw: Draw,
  lengths: readonly number[],
  mostMm: number,
  part: boolean,
  least: number,
): number {
  const fitting = lengths.filter((length) => length <= mostMm);
  const long = lengths.filter((length) => length > 0.8 * mostMm);
  if (part && long.length > 0) return draw.pick(long.slice(0, 2));
  if (fitting.length > 0) return draw.pick(fitting.slice(-3));
  return Math.max(least, lengths[0]!);
}

function anyStyle(draw: Draw, { kind, seed, worn, faint }: Wishes): ScaleStyle {
  const material = draw.weighted<Material>([
    [3, "paper"],
    [4, "plastic"],
    [2, "steel"],
    [2, "clear"],
    [1.5, "wood"],
    [1.5, "tape"],
  ]);
  const printed = material === "paper" || material === "plastic" || material === "clear";
  const finest = finestMm(kind);
  const ground = material === "steel" || material === "wood" ? 0.6 : 1;
  return {
    material,
    polarity: printed && draw.chance(0.25) ? "light-on-dark" : "dark-on-light",
    tickWidthMm: Math.min(draw.between(0.12, 0.3), 0.33 * finest),
    // Faint print keeps a fifth to half of its ink; on darker ground more, to be seen at all.
    inkDensity: faint ? draw.between(0.2, 0.5) / ground : draw.between(0.7, 1),
    engraved: (material === "steel" || material === "plastic") && draw.chance(0.4),
    font: draw.pick(["light", "regular", "bold", "slanted", "lines"]),
    numeralHeightMm: draw.between(1.8, 3.2),
    numerals: draw.weighted([
      [6, "upright"],
      [1.5, "inverted"],
      [1, "along"],
      [1.5, "none"],
    ] as const),
    edgeGapMm: draw.chance(0.3) ? draw.between(0.2, 1.2) : 0,
    baseLine: draw.chance(0.25),
    wear: worn ? draw.between(0.25, 0.7) : 0,
    grain: 1,
    seed,
  };
}
