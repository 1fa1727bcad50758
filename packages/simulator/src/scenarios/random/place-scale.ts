import type { Camera } from "../../camera/camera.ts";
import { sceneTruth } from "../../render/scene-truth.ts";
import type { Scene, Thing } from "../../scene/scene.ts";
import type { Placement } from "../../surface/pose.ts";
import type { EdgeTruth, ThingTruth } from "../../truth/truth.ts";
import type { Draw } from "./draw.ts";
import { acrossMm, anyScale, finestMm, isCoarse, type MadeScale, type ScaleKind } from "./scale-kinds.ts";

/** Names of the scales in the truth: the one that the facts tell of, and another beside it. */
const MAIN = "main";
const SECOND = "second";

/** What a picture must show of a scale to count. */
const LEAST_SEEN = 11;
const LEAST_SEEN_COARSE = 4;
const LEAST_SEEN_MM = 10;
/** A disc of 1.2 pitches leaves nothing of the graduations; nobody could read on. */
const MOST_BLUR = 1;
/** What must be sharp of a scale whose bars stand far apart: the bars themselves. */
const COARSE_BARS_MM = 1.5;
/** Share of the picture's sides that a whole scale keeps clear of. */
const MARGIN = 0.015;
const ATTEMPTS = 120;
/** Millimetres between two scales in a picture. */
const APART_MM = 32;

export interface PlacedScale {
  readonly scene: Scene;
  readonly placement: Placement;
  readonly truth: ThingTruth;
}

/** Somewhere in the picture, whole or in part as asked, and always enough of it. */
export function place(
  draw: Draw,
  scene: Scene,
  camera: Camera,
  scale: MadeScale,
  fieldMm: number,
  part: boolean,
): PlacedScale {
  const heightMm = (fieldMm * camera.heightPx) / camera.widthPx;
  const reach = part ? 0.4 : 0.32;
  let best: PlacedScale | null = null;
  for (let attempt = 0; attempt < ATTEMPTS; attempt++) {
    const rotateDeg = draw.chance(0.55)
      ? draw.pick([0, 90, 180, 270]) + draw.between(-8, 8)
      : draw.between(0, 360);
    const to = { x: draw.between(-reach, reach) * fieldMm, y: draw.between(-reach, reach) * heightMm };
    const placement = withPointAt(anchorOf(draw, scale, part), to, rotateDeg);
    const thing: Thing = { ...scale.at(placement), id: MAIN };
    const placed: PlacedScale = {
      scene: { ...scene, things: [...scene.things, thing] },
      placement,
      truth: sceneTruth({ ...scene, things: [thing] }, camera).things[0]!,
    };
    if (!enough(placed.truth, scale.kind)) continue;
    best ??= placed;
    const whole = placed.truth.edges.every((e) => e.ticks.every(({ px }) => wellInside(px, camera)));
    const out = placed.truth.edges.some((e) => e.ticks.some((t) => !t.inPicture));
    if (part ? out : whole) return placed;
  }
  if (best) return best;
  const anchor = scale.kind === "L" ? { x: 8, y: 8 } : { x: 0, y: -0.5 * acrossMm(scale.kind) };
  const placement = withPointAt(anchor, { x: 0, y: 0 }, -camera.rollDeg);
  const thing: Thing = { ...scale.at(placement), id: MAIN };
  return {
    scene: { ...scene, things: [...scene.things, thing] },
    placement,
    truth: sceneTruth({ ...scene, things: [thing] }, camera).things[0]!,
  };
}

/** A point of the scale's own that is to be in the picture: on its edge, anywhere when a part is enough. */
function anchorOf(draw: Draw, { kind, lengthMm }: MadeScale, part: boolean): Point {
  const along = part ? draw.between(-0.5, 0.5) : 0;
  if (kind === "L")
    return part ? { x: draw.between(0, 0.5) * lengthMm, y: 0 } : { x: lengthMm / 3, y: lengthMm / 3 };
  return { x: along * lengthMm, y: part ? -0.5 * acrossMm(kind) : 0 };
}

function withPointAt(own: Point, to: Point, rotateDeg: number): Placement {
  const turn = (rotateDeg * Math.PI) / 180;
  return {
    xMm: to.x - own.x * Math.cos(turn) + own.y * Math.sin(turn),
    yMm: to.y - own.x * Math.sin(turn) - own.y * Math.cos(turn),
    rotateDeg,
  };
}

interface Point {
  readonly x: number;
  readonly y: number;
}

function wellInside([x, y]: readonly [number, number], { widthPx, heightPx }: Camera): boolean {
  const edge = MARGIN * widthPx;
  return x >= edge && y >= edge && x <= widthPx - edge && y <= heightPx - edge;
}

/** Enough of every edge that carries the scale's finest graduations. */
function enough(truth: ThingTruth, kind: ScaleKind): boolean {
  const least = isCoarse(kind) ? LEAST_SEEN_COARSE : LEAST_SEEN;
  const finest = Math.min(...truth.edges.map((e) => e.stepMm));
  const edges =
    kind === "graph paper" ? [finestEdge(truth)] : truth.edges.filter((e) => e.stepMm <= 4 * finest);
  return edges.every((edge) => {
    const { ticks } = edge;
    const seen = ticks.filter((t) => t.inPicture);
    const spanMm = seen.length > 1 ? seen.at(-1)!.mm - seen[0]!.mm : 0;
    const middle = seen[seen.length >> 1];
    if (middle && middle.blurPx > MOST_BLUR * finestPitchPx(edge, kind)) return false;
    return seen.length >= Math.min(least, ticks.length) && spanMm >= LEAST_SEEN_MM;
  });
}

const finestPitchPx = (edge: EdgeTruth, kind: ScaleKind): number =>
  meanPitchPx(edge, isCoarse(kind) ? COARSE_BARS_MM : finestMm(kind));

/** Of the finest edges the one of which most is seen. */
export function finestEdge({ edges }: ThingTruth): EdgeTruth {
  const finest = Math.min(...edges.map((e) => e.stepMm));
  const seen = (e: EdgeTruth): number => e.ticks.filter((t) => t.inPicture).length;
  return edges.filter((e) => e.stepMm === finest).sort((a, b) => seen(b) - seen(a))[0]!;
}

export function meanPitchPx({ ticks }: EdgeTruth, stepMm: number): number {
  const seen = ticks.filter((t) => t.inPicture);
  const [a, b] = [seen[0], seen.at(-1)];
  if (!a || !b || a === b) return 0;
  return (Math.hypot(b.px[0] - a.px[0], b.px[1] - a.px[1]) * stepMm) / (b.mm - a.mm);
}

/** Another scale that lies clear of the first; null when there is no room. */
export function beside(
  draw: Draw,
  scene: Scene,
  camera: Camera,
  first: ThingTruth,
  seed: number,
  fieldMm: number,
): Thing | null {
  const kind = draw.pick(["mm", "half-mm", "L", "label", "mm numbered by ten"] as const);
  const plain = { part: false, worn: false, faint: false, bowed: false, curved: false };
  const scale = anyScale(draw, { ...plain, seed: seed + 1, kind, mostMm: 0.5 * fieldMm });
  const px = (truth: ThingTruth) => truth.edges.flatMap((e) => e.ticks.map((t) => t.px));
  const known = px(first);
  const apartPx = (APART_MM * camera.widthPx) / fieldMm;
  for (let attempt = 0; attempt < ATTEMPTS / 4; attempt++) {
    const placement: Placement = {
      xMm: draw.between(-0.4, 0.4) * fieldMm,
      yMm: (draw.between(-0.4, 0.4) * fieldMm * camera.heightPx) / camera.widthPx,
      rotateDeg: draw.between(0, 360),
    };
    const thing: Thing = { ...scale.at(placement), id: SECOND };
    const truth = sceneTruth({ ...scene, things: [thing] }, camera).things[0]!;
    const clear = px(truth).every(
      (p) => wellInside(p, camera) && known.every((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) > apartPx),
    );
    if (clear) return thing;
  }
  return null;
}
