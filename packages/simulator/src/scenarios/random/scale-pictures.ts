import type { Shot } from "../../render/render-picture.ts";
import type { Scene, Thing } from "../../scene/scene.ts";
import type { Surface } from "../../surface/carrier.ts";
import type { ThingTruth } from "../../truth/truth.ts";
import { anyCamera, anyConditions, anyFrame, type Condition } from "./any-camera.ts";
import { coversOver } from "./covers-over.ts";
import { type Draw, drawFrom } from "./draw.ts";
import { beside, finestEdge, meanPitchPx, place } from "./place-scale.ts";
import { acrossMm, anyKind, anyScale, finestMm, isCoarse, type ScaleKind } from "./scale-kinds.ts";
import { anySurroundings } from "./surroundings.ts";
import { unitTold } from "./unit-told.ts";

/** One picture of a scale, ready to be rendered, and what is to be known of it. */
export interface ScalePicture {
  readonly shot: Shot;
  readonly facts: ScaleFacts;
}

export interface ScaleFacts {
  readonly kind: ScaleKind;
  readonly material: string;
  readonly polarity: "dark-on-light" | "light-on-dark";
  readonly numerals: string;
  /** Whether anybody could tell the unit from what the picture shows. */
  readonly unitTold: boolean;
  readonly leanDeg: number;
  /** Mean distance of the finest graduations that are in the picture. */
  readonly pitchPx: number;
  readonly part: boolean;
  readonly graduationsSeen: number;
  /** How many scales the picture holds. */
  readonly scales: number;
  readonly conditions: readonly Condition[];
}

/** Fine graduations are the harder ones to find, and so the more of them. */
const PITCH_PX = [3, 24] as const;
const COARSE_PITCH_PX = [24, 60] as const;
/** Scales with two legs or codes would not fit. */
const MOST_PITCH_PX = 36;
const COARSE_PX_PER_MM = [2, 15] as const;
/** The picture of that seed: any scale, anywhere, in any state. Same seed, same picture. */
export function scalePicture(seed: number): ScalePicture {
  const draw = drawFrom(seed);
  const kind = anyKind(draw);
  const frame = anyFrame(draw);
  const conditions = anyConditions(draw);
  const coarse = isCoarse(kind);
  const pxPerMm = coarse
    ? draw.octaves(...COARSE_PX_PER_MM)
    : Math.min(anyPitchPx(draw, kind) / finestMm(kind), frame.widthPx / leastFieldMm(kind));
  const fieldMm = frame.widthPx / pxPerMm;
  const part = kind !== "label" && draw.chance(0.25);
  const curved = conditions.includes("curved limb");
  const radiusMm = Math.max(draw.between(30, 70), 0.35 * fieldMm);
  const scale = anyScale(draw, {
    seed,
    kind,
    mostMm: Math.min(0.8 * fieldMm, curved ? 1.2 * radiusMm : Number.POSITIVE_INFINITY),
    part,
    worn: conditions.includes("worn"),
    faint: conditions.includes("faint"),
    bowed: conditions.includes("bowed"),
    curved,
  });
  const surface: Surface = curved
    ? { shape: "cylinder", radiusMm, axisDeg: draw.between(0, 180) }
    : { shape: "plane" };
  const surroundings: Scene = { ...anySurroundings(draw, seed, fieldMm), surface };
  const bare = curved ? { ...surroundings, things: [] } : surroundings;
  const camera = anyCamera(draw, {
    frame,
    pxPerMm,
    pitchMm: coarse ? 1.5 : finestMm(kind),
    lengthMm: Math.min(scale.lengthMm, fieldMm),
    conditions,
  });
  const placed = place(draw, bare, camera, scale, fieldMm, part);
  const second =
    draw.chance(0.12) && !curved ? beside(draw, placed.scene, camera, placed.truth, seed, fieldMm) : null;
  const across = acrossMm(scale.kind);
  const extent = { ...seenExtent(placed.truth, scale.lengthMm), across };
  const covers = coversOver(draw, conditions, placed.placement, extent);
  const things = [...placed.scene.things, ...(second ? [second] : []), ...covers];
  const finest = finestEdge(placed.truth);
  const seen = finest.ticks.filter((t) => t.inPicture);
  return {
    shot: { scene: { ...placed.scene, things }, camera, seed },
    facts: {
      kind,
      material: scale.material,
      polarity: scale.polarity,
      numerals: scale.numerals,
      unitTold: unitTold(kind, placed.truth, camera),
      leanDeg: Math.hypot(camera.leanXDeg, camera.leanYDeg),
      pitchPx: meanPitchPx(finest, finestMm(kind)),
      part: placed.truth.edges.some((e) => e.ticks.some((t) => !t.inPicture)),
      graduationsSeen: seen.length,
      scales: second ? 2 : 1,
      conditions: conditions.filter((c) => happened(c, placed.truth, covers, curved)),
    },
  };
}

function anyPitchPx(draw: Draw, kind: ScaleKind): number {
  const pitchPx = draw.chance(0.8) ? draw.octaves(...PITCH_PX) : draw.octaves(...COARSE_PITCH_PX);
  return kind === "L" || kind === "marker" || kind === "label" ? Math.min(pitchPx, MOST_PITCH_PX) : pitchPx;
}

/** A picture that is narrower cannot show enough of the scale, leaning or not. */
const leastFieldMm = (kind: ScaleKind): number =>
  kind.includes("+") ? 70 : Math.max(30, 22 * finestMm(kind));

/** What was drawn but has nothing to act on is not told. */
function happened(
  condition: Condition,
  { facts, kind }: ThingTruth,
  covers: readonly Thing[],
  curved: boolean,
): boolean {
  switch (condition) {
    case "finger":
      return covers.some((c) => c.kind === "finger");
    case "curved limb":
      return curved;
    case "bowed":
      return (facts.bowMm ?? 0) !== 0 || (facts.liftMm ?? 0) !== 0;
    case "worn":
    case "faint":
      return kind !== "pattern" && kind !== "marker-scale";
    default:
      return true;
  }
}

/** From the scale's middle, along its own x. */
function seenExtent(truth: ThingTruth, lengthMm: number): { from: number; to: number } {
  const { ticks } = finestEdge(truth);
  const seen = ticks.filter((t) => t.inPicture).map((t) => t.mm);
  if (seen.length === 0) return { from: -lengthMm / 2, to: lengthMm / 2 };
  // An L is placed by its corner, where its zero is.
  const zero = truth.kind === "l-scale" ? 0 : -lengthMm / 2;
  return { from: zero + Math.min(...seen), to: zero + Math.max(...seen) };
}
