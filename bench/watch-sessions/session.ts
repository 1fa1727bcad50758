import { objectDistanceMm } from "../../packages/optics/src/index.ts";
import { rgb8 } from "../../packages/simulator/src/colour/colour.ts";
import {
  type Body,
  type Camera,
  evenLight,
  frontalLight,
  type Light,
  obliqueLight,
  ringLight,
  type Scene,
  type SkinTone,
  standardBackdrop,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../../packages/simulator/src/index.ts";
import { type Draw, drawFrom } from "../../packages/simulator/src/scenarios/random/draw.ts";
import type { Planted } from "./planted.ts";

/** One frame of a session before it is rendered. */
export interface FrameShot {
  readonly planted: Planted;
  readonly scene: Scene;
  readonly camera: Camera;
  readonly seed: number;
  /** Turned over after rendering. */
  readonly flipped: boolean;
}

/** A session: a view, frames good and bad, and the baseline where it is a series. */
export interface Session {
  readonly kind: "limb" | "hand" | "close-up";
  readonly magnification: number;
  readonly focalMm: number;
  readonly orientation: "landscape" | "portrait";
  readonly scale: "L" | "straight";
  readonly bordersCrossed: number | null;
  readonly series: boolean;
  readonly baseline: FrameShot | null;
  readonly frames: readonly FrameShot[];
}

const LONG_PX = 1800;
/** Of the starting practice; every planted fault is twice as large. Folds of 1.7 measure as twice what is allowed. */
const LIMITS = {
  ratio: 0.05,
  seriesRatio: 0.02,
  leanDeg: 6,
  heightMm: 4,
  blurMm: 0.06,
  stops: 0.7,
  aim: 0.12,
  rollDeg: 5,
};
const GOOD_FRAMES = 2;
const BAD_FRAMES = 3;

const BACKDROPS = [rgb8(74, 112, 150), rgb8(60, 122, 96), rgb8(168, 172, 176)] as const;

/** The session of a seed: the same scene in every frame, as a hand-held camera sees it again and again. */
export function sessionOf(seed: number): Session {
  const draw = drawFrom(seed);
  const kind = draw.weighted([
    [3, "limb"],
    [2, "hand"],
    [3, "close-up"],
  ] as const);
  const series = kind !== "hand" && draw.chance(0.6);
  const magnification =
    kind === "hand" ? 1 / 8 : kind === "limb" ? 1 / draw.between(7, 9) : 1 / draw.between(3, 5);
  const focalMm = draw.pick([60, 100]);
  const upright = kind === "hand";
  const stage = stageOf(draw, seed, kind, magnification);
  const still = steady(draw);
  const shot = (planted: Planted, n: number): FrameShot =>
    frameOf(
      drawFrom(seed * 1000 + n),
      { kind, series, magnification, focalMm, upright, stage, still, seed: seed * 100 + n },
      planted,
    );
  const faults = drawSome(draw, faultsFor(kind, series, stage), BAD_FRAMES);
  const planted = [...Array.from({ length: GOOD_FRAMES }, () => "nothing" as const), ...faults];
  return {
    kind,
    magnification,
    focalMm,
    orientation: upright ? "portrait" : "landscape",
    scale: kind === "hand" ? "straight" : "L",
    bordersCrossed: kind === "limb" ? 2 : kind === "hand" ? 1 : null,
    series,
    baseline: series ? shot("nothing", 99) : null,
    frames: planted.map((one, n) => shot(one, n)),
  };
}

interface Stage {
  readonly body: Body | null;
  readonly light: Light;
  readonly lightFromDeg: number | null;
  readonly backdropRgb: (typeof BACKDROPS)[number];
  readonly skin: Scene["skin"];
  readonly things: readonly Thing[];
  readonly target: { readonly x: number; readonly y: number };
  readonly fieldMm: { readonly width: number; readonly height: number };
}

function stageOf(draw: Draw, seed: number, kind: Session["kind"], magnification: number): Stage {
  const upright = kind === "hand";
  const fieldMm = { width: (upright ? 24 : 36) / magnification, height: (upright ? 36 : 24) / magnification };
  const oblique = draw.chance(0.4);
  const fromDeg = draw.between(0, 360);
  const light = oblique
    ? obliqueLight(fromDeg, draw.between(34, 48))
    : draw.pick([frontalLight(), evenLight(), ringLight()]);
  const body: Body | null =
    kind === "hand"
      ? {
          shape: "hand",
          side: draw.pick(["left", "right"] as const),
          aspect: draw.pick(["dorsal", "palmar"] as const),
        }
      : kind === "limb"
        ? { shape: "limb", widthMm: Math.min(130, fieldMm.height * 0.55), axisDeg: draw.between(-8, 8) }
        : null;
  const lengthMm = Math.min(40, 0.16 * fieldMm.width);
  const scale: Thing =
    kind === "hand"
      ? {
          kind: "straight-scale",
          placement: { xMm: 0, yMm: 118, rotateDeg: 0 },
          lengthMm: 80,
          widthMm: 18,
          edges: ["mm"],
        }
      : {
          kind: "l-scale",
          placement: {
            xMm: -0.26 * fieldMm.width,
            yMm: -0.2 * fieldMm.height,
            rotateDeg: draw.between(-3, 3),
          },
          legMm: Math.min(80, Math.round((0.3 * fieldMm.height) / 10) * 10),
          style: { material: draw.pick(["plastic", "paper"] as const) },
        };
  const wound: Thing = {
    kind: "wound",
    placement: { xMm: 0.08 * fieldMm.width, yMm: 0.06 * fieldMm.height, rotateDeg: draw.between(0, 360) },
    seed,
    lengthMm,
    widthMm: lengthMm * draw.between(0.5, 0.9),
    healed: draw.between(0, 0.5),
  };
  return {
    body,
    light,
    lightFromDeg: oblique ? fromDeg : null,
    backdropRgb: draw.pick(BACKDROPS),
    skin: standardSkin({
      tone: draw.whole(1, 6) as SkinTone,
      seed,
      hairs: draw.chance(0.6) ? draw.between(0.5, 2) : 0,
      moles: draw.between(0.3, 1.5),
      vessels: draw.share(),
    }),
    things: kind === "hand" ? [scale] : [wound, scale],
    target: kind === "hand" ? { x: 0, y: 20 } : { x: 0, y: 0 },
    fieldMm,
  };
}

/** What stays the same over a session: lens opening, sensor, how steady the hand is. */
const steady = (draw: Draw) => ({
  fNumber: draw.between(11, 16),
  iso: draw.pick([100, 200, 400]),
  sharpen: draw.between(0.2, 0.6),
  jpegQuality: Math.round(draw.between(86, 95)),
  whiteBalanceK: draw.between(5200, 5800),
  folds: draw.between(0.05, 0.2),
  behindMm: draw.between(100, 300),
});

function faultsFor(kind: Session["kind"], series: boolean, stage: Stage): Planted[] {
  const always: Planted[] = ["ratio", "focus", "moved", "too bright", "too dark"];
  if (kind === "hand") return [...always, "cut off", "creased cloth"];
  const flat: Planted[] = [...always, "lean", "focus on the scale only", "mirrored"];
  if (kind === "limb") flat.push("creased cloth");
  if (!series) return flat;
  const compared: Planted[] = ["scale height", "turned against the baseline", "aimed beside the baseline"];
  if (stage.lightFromDeg !== null && kind === "limb") compared.push("light from another side");
  return [...flat, ...compared];
}

function drawSome<T>(draw: Draw, from: readonly T[], count: number): T[] {
  const left = [...from];
  return Array.from({ length: Math.min(count, left.length) }, () => {
    const [one] = left.splice(Math.min(left.length - 1, Math.floor(draw.share() * left.length)), 1);
    return one!;
  });
}

interface Setting {
  readonly kind: Session["kind"];
  readonly series: boolean;
  readonly magnification: number;
  readonly focalMm: number;
  readonly upright: boolean;
  readonly stage: Stage;
  readonly still: ReturnType<typeof steady>;
  readonly seed: number;
}

/** Good frames stray by up to half of what is allowed. */
function frameOf(draw: Draw, setting: Setting, planted: Planted): FrameShot {
  const { stage, still, series, magnification: planned, focalMm, upright } = setting;
  const sign = () => (draw.chance(0.5) ? 1 : -1);
  const ratioLimit = series ? LIMITS.seriesRatio : LIMITS.ratio;
  const off = planted === "ratio" ? 2 * ratioLimit * sign() : draw.between(-0.4, 0.4) * ratioLimit;
  const magnification = planned * (1 + off);
  const leanDeg = planted === "lean" ? 2 * LIMITS.leanDeg : draw.between(0, 0.4) * LIMITS.leanDeg;
  const leanWay = draw.between(0, 2 * Math.PI);
  const rollDeg =
    planted === "turned against the baseline"
      ? 2 * LIMITS.rollDeg * sign()
      : draw.between(-0.3, 0.3) * LIMITS.rollDeg;
  const aim = planted === "aimed beside the baseline" ? 2 * LIMITS.aim : 0;
  const aimWay = draw.between(0, 2 * Math.PI);
  const cut = planted === "cut off" ? 0.3 * stage.fieldMm.width * sign() : 0;
  const pitchMm = 36 / LONG_PX;
  const uMm = objectDistanceMm(focalMm, magnification);
  const blurMm = planted === "focus" || planted === "focus on the scale only" ? 2 * LIMITS.blurMm : 0;
  // Disc on the sensor: A m d / (u + d) with A = f/N.
  const perMm = (focalMm / still.fNumber) * magnification - blurMm;
  const focusMm = blurMm === 0 ? 0 : perMm > 0 ? Math.min((blurMm * uMm) / perMm, 0.45 * uMm) : 0.45 * uMm;
  const onScaleOnly = planted === "focus on the scale only";
  const stops =
    planted === "too bright"
      ? 2 * LIMITS.stops
      : planted === "too dark"
        ? -2 * LIMITS.stops
        : draw.between(-0.15, 0.1);
  // What can be told of it is its share of the ratio: 1.2 % against the baseline's skin.
  const heightMm =
    planted === "scale height"
      ? 2 * Math.max(LIMITS.heightMm, 0.012 * uMm) * sign()
      : onScaleOnly
        ? focusMm
        : 0;
  const turnLight = planted === "light from another side" && stage.lightFromDeg !== null ? 120 * sign() : 0;
  const camera = standardCamera({
    ...(upright
      ? { widthPx: (LONG_PX * 2) / 3, heightPx: LONG_PX, sensorMm: { width: 24, height: 36 } }
      : { widthPx: LONG_PX, heightPx: (LONG_PX * 2) / 3 }),
    focalMm,
    magnification,
    fNumber: still.fNumber,
    iso: still.iso,
    sharpen: still.sharpen,
    jpegQuality: still.jpegQuality,
    whiteBalanceK: still.whiteBalanceK,
    leanXDeg: leanDeg * Math.sin(leanWay),
    leanYDeg: leanDeg * Math.cos(leanWay),
    rollDeg,
    exposureStops: stops,
    motion: {
      lengthPx: planted === "moved" ? (2 * LIMITS.blurMm) / pitchMm : 0,
      directionDeg: draw.between(0, 180),
    },
    focusOffsetMm: onScaleOnly ? -focusMm : focusMm * sign(),
    targetMm: {
      x:
        stage.target.x +
        cut +
        aim * stage.fieldMm.width * Math.cos(aimWay) +
        draw.between(-0.02, 0.02) * stage.fieldMm.width,
      y:
        stage.target.y +
        aim * stage.fieldMm.height * Math.sin(aimWay) +
        draw.between(-0.02, 0.02) * stage.fieldMm.height,
    },
  });
  const things = stage.things.map((thing) =>
    heightMm !== 0 && (thing.kind === "l-scale" || thing.kind === "straight-scale")
      ? { ...thing, placement: { ...thing.placement, heightMm } }
      : thing,
  );
  const scene = standardScene({
    skin: stage.skin,
    ...(stage.body && { body: stage.body }),
    light: turnLight === 0 ? stage.light : obliqueLight(stage.lightFromDeg! + turnLight, 40),
    backdrop: standardBackdrop({
      rgb: stage.backdropRgb,
      behindMm: still.behindMm,
      folds: planted === "creased cloth" ? 1.7 : still.folds,
      seed: setting.seed,
    }),
    things: things as Thing[],
  });
  return { planted, scene, camera, seed: setting.seed, flipped: planted === "mirrored" };
}
