import type { ScaleAnswer } from "../../packages/picture/src/answers.ts";
import { bodyArt } from "../../packages/simulator/src/body/body.ts";
import { rgb8 } from "../../packages/simulator/src/colour/colour.ts";
import {
  type Body,
  type Camera,
  encodePicture,
  evenLight,
  frontalLight,
  type Light,
  obliqueLight,
  type Picture,
  renderPicture,
  ringLight,
  type SkinTone,
  standardBackdrop,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
  type Truth,
} from "../../packages/simulator/src/index.ts";
import { type Draw, drawFrom } from "../../packages/simulator/src/scenarios/random/draw.ts";
import { shadowed } from "./shadow.ts";

/** One thing that is wrong with a frame, at one strength. */
export type Planted =
  | { readonly what: "nothing" }
  /** Diameter of the blur disc at the subject, px; with `scaleSharp` the scale is held where it is sharp. */
  | { readonly what: "focus"; readonly blurPx: number; readonly scaleSharp?: boolean }
  | { readonly what: "motion"; readonly lengthPx: number }
  | { readonly what: "exposure"; readonly stops: number }
  /** Moved towards the right and the lower border by this share of the frame. */
  | { readonly what: "cut off"; readonly share: number }
  | { readonly what: "creases"; readonly folds: number }
  | { readonly what: "shadow"; readonly strength: number }
  | { readonly what: "side light"; readonly elevationDeg: number };

export interface Facts {
  readonly seed: number;
  readonly view: "limb" | "hand" | "heel" | "close-up" | "round limb";
  readonly tone: SkinTone;
  readonly backdrop: string;
  readonly light: "frontal" | "even" | "ring" | "oblique";
  /** Where the light comes from in the picture; null: from no side. */
  readonly lightFromDeg: number | null;
  readonly pxPerMm: number;
  readonly hasScale: boolean;
  readonly rollDeg: number;
  readonly exposureStops: number;
  readonly motionDeg: number;
  /** Disc into which the lens spreads a point of the subject where the camera is aimed, px. */
  readonly blurPx: number;
  /** Of the body against the backdrop, by its outline; null where the outline is not known. */
  readonly subject: SubjectTruth | null;
}

export interface SubjectTruth {
  readonly share: number;
  readonly runsOut: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
  /** Whether a place of the picture shows the body. */
  inside(x: number, y: number): boolean;
}

export interface BedsidePicture {
  readonly picture: Picture;
  readonly jpeg: Buffer;
  readonly scale: ScaleAnswer;
  readonly facts: Facts;
}

const BACKDROPS = {
  blue: rgb8(74, 112, 150),
  green: rgb8(60, 122, 96),
  black: rgb8(38, 40, 44),
  grey: rgb8(168, 172, 176),
} as const;

/** A frame at the bedside, good but for what is planted: the same seed shows the same scene with every fault. */
export async function bedsidePicture(
  seed: number,
  planted: Planted = { what: "nothing" },
  longSidePx = 1500,
): Promise<BedsidePicture> {
  const draw = drawFrom(seed);
  const view = draw.weighted([
    [4, "limb"],
    [3, "hand"],
    [1, "heel"],
    [3, "close-up"],
    [1, "round limb"],
  ] as const);
  const tone = draw.whole(1, 6) as SkinTone;
  const backdropName = draw.pick(Object.keys(BACKDROPS) as (keyof typeof BACKDROPS)[]);
  const drawnLight = draw.pick(["frontal", "even", "ring", "oblique"] as const);
  const fromDeg = draw.between(0, 360);
  const upright = view === "hand" || view === "heel";
  const { body, fieldMm, target, radiusMm, axisDeg } = framingOf(draw, view);
  const landscape = { widthPx: longSidePx, heightPx: Math.round((longSidePx * 2) / 3) };
  const frame = upright
    ? {
        widthPx: landscape.heightPx,
        heightPx: landscape.widthPx,
        sensorMm: { width: 24, height: 36 },
      }
    : { ...landscape, sensorMm: { width: 36, height: 24 } };
  const magnification = 36 / fieldMm;
  const scale = view === "hand" ? handScale() : scaleOn(draw, view, fieldMm);
  const things: Thing[] = [
    ...(draw.chance(0.7) ? [subjectThing(draw, seed, fieldMm)] : []),
    ...(scale ? [scale] : []),
  ];
  const cameraDraw = {
    focalMm: draw.pick([60, 100]),
    fNumber: draw.between(8, 16),
    leanXDeg: draw.between(-4, 4),
    leanYDeg: draw.between(-4, 4),
    rollDeg: draw.between(-4, 4),
    iso: draw.pick([100, 200, 400, 800]),
    sharpen: draw.between(0.1, 0.7),
    jpegQuality: Math.round(draw.between(80, 96)),
    vignetting: draw.between(0.5, 1.2),
    exposureStops: draw.between(-0.25, 0.1),
    whiteBalanceK: draw.between(5000, 6000),
  };
  const folds = draw.between(0.1, 0.35);
  const behindMm = draw.between(60, 400);
  const motionDeg = draw.between(0, 180);
  const focusSign = draw.chance(0.5) ? 1 : -1;
  const kindOfLight = planted.what === "side light" ? "oblique" : drawnLight;
  const elevationDeg = planted.what === "side light" ? planted.elevationDeg : draw.between(30, 50);
  const off = planted.what === "cut off" ? planted.share : 0;
  const camera: Camera = standardCamera({
    ...frame,
    ...cameraDraw,
    magnification,
    targetMm: {
      x: target.x - (off * frame.sensorMm.width) / magnification,
      y: target.y - (off * frame.sensorMm.height) / magnification,
    },
    ...(planted.what === "exposure" && { exposureStops: cameraDraw.exposureStops + planted.stops }),
    ...(planted.what === "motion" && { motion: { lengthPx: planted.lengthPx, directionDeg: motionDeg } }),
  });
  const offsetMm = planted.what === "focus" ? focusOffsetMm(camera, planted.blurPx) : 0;
  const scaleSharp = planted.what === "focus" && planted.scaleSharp === true;
  const lifted = scaleSharp
    ? things.map((t) => (t === scale ? { ...t, placement: { ...t.placement, heightMm: offsetMm } } : t))
    : things;
  const scene = standardScene({
    skin: standardSkin({
      tone,
      seed,
      hairs: draw.chance(0.5) ? draw.between(0.5, 4) : 0,
      moles: draw.between(0, 1.5),
      vessels: draw.share(),
    }),
    surface: radiusMm ? { shape: "cylinder", radiusMm, axisDeg } : { shape: "plane" },
    ...(body && { body }),
    backdrop: standardBackdrop({
      rgb: BACKDROPS[backdropName],
      behindMm,
      folds: planted.what === "creases" ? planted.folds : folds,
      seed,
    }),
    light: lightOf(kindOfLight, fromDeg, elevationDeg),
    things: lifted as Thing[],
  });
  const shot = {
    scene,
    camera: {
      ...camera,
      // A lifted scale is sharp only when the sharp plane lies before the skin.
      focusOffsetMm: scaleSharp ? -offsetMm : focusSign * offsetMm,
    },
    seed,
  };
  const made = await renderPicture(shot);
  const subject = body ? subjectTruth(body, tone, made.truth) : null;
  const picture =
    planted.what === "shadow" && subject
      ? shadowed(made, subject.inside, { ...planted, towardsDeg: fromDeg })
      : made;
  const side =
    kindOfLight === "oblique"
      ? fromDeg + camera.rollDeg
      : kindOfLight === "frontal"
        ? -90 + camera.rollDeg
        : null;
  return {
    picture,
    jpeg: await encodePicture(picture, shot.camera),
    scale: scaleAnswer(made.truth),
    facts: {
      seed,
      view,
      tone,
      backdrop: backdropName,
      light: kindOfLight,
      lightFromDeg: side,
      pxPerMm: made.truth.surface.pxPerMm,
      hasScale: scale !== null,
      rollDeg: camera.rollDeg,
      exposureStops: camera.exposureStops,
      motionDeg,
      blurPx: discPx(made.truth, shot.camera),
      subject,
    },
  };
}

interface Framed {
  readonly body: Body | null;
  /** Along the frame's long side. */
  readonly fieldMm: number;
  readonly target: { readonly x: number; readonly y: number };
  readonly radiusMm: number | null;
  readonly axisDeg: number;
}

function framingOf(draw: Draw, view: Facts["view"]): Framed {
  const at = { target: { x: draw.between(-4, 4), y: draw.between(-4, 4) }, radiusMm: null, axisDeg: 0 };
  switch (view) {
    case "limb": {
      const widthMm = draw.between(70, 130);
      const axisDeg = draw.between(-12, 12);
      return { ...at, body: { shape: "limb", widthMm, axisDeg }, fieldMm: widthMm * draw.between(2, 2.8) };
    }
    case "hand":
      return {
        ...at,
        body: {
          shape: "hand",
          side: draw.pick(["left", "right"] as const),
          aspect: draw.pick(["dorsal", "palmar"] as const),
        },
        fieldMm: draw.between(280, 330),
        target: { x: at.target.x, y: 14 + at.target.y },
      };
    case "heel":
      return {
        ...at,
        body: { shape: "heel" },
        fieldMm: draw.between(170, 220),
        target: { x: at.target.x, y: -25 + at.target.y },
      };
    case "round limb": {
      const radiusMm = draw.between(35, 60);
      return {
        ...at,
        body: null,
        radiusMm,
        axisDeg: draw.between(-12, 12),
        fieldMm: radiusMm * draw.between(3.6, 5),
      };
    }
    default:
      return { ...at, body: null, fieldMm: draw.octaves(50, 180) };
  }
}

function lightOf(kind: Facts["light"], fromDeg: number, elevationDeg: number): Light {
  if (kind === "oblique") return obliqueLight(fromDeg, elevationDeg);
  return kind === "frontal" ? frontalLight() : kind === "even" ? evenLight() : ringLight();
}

const handScale = (): Thing => ({
  kind: "straight-scale",
  placement: { xMm: 0, yMm: 120, rotateDeg: 0 },
  lengthMm: 50,
  widthMm: 18,
  edges: ["mm"],
});

function scaleOn(draw: Draw, view: Facts["view"], fieldMm: number): Thing | null {
  const kind = draw.pick(["L", "straight", "none"] as const);
  const lengthMm = Math.max(20, Math.min(100, Math.round((fieldMm * 0.3) / 10) * 10));
  const polarity = draw.chance(0.2) ? "light-on-dark" : "dark-on-light";
  const style = { material: draw.pick(["plastic", "paper"] as const), polarity } as const;
  if (kind === "none" || view === "heel") return null;
  const y = -fieldMm * (view === "close-up" ? 0.22 : 0.12);
  if (kind === "L") {
    return {
      kind: "l-scale",
      placement: { xMm: -lengthMm / 2, yMm: y * 0.5, rotateDeg: draw.between(-4, 4) },
      legMm: Math.round(lengthMm * 0.6),
      legWidthMm: 18,
      style,
    };
  }
  return {
    kind: "straight-scale",
    placement: { xMm: draw.between(-8, 8), yMm: y, rotateDeg: draw.between(-6, 6) },
    lengthMm,
    widthMm: 16,
    edges: ["mm"],
    style,
  };
}

function subjectThing(draw: Draw, seed: number, fieldMm: number): Thing {
  const lengthMm = Math.max(4, Math.min(50, draw.between(0.08, 0.2) * fieldMm));
  const shape = {
    placement: { xMm: draw.between(-8, 8), yMm: draw.between(0, 14), rotateDeg: draw.between(0, 360) },
    seed,
    lengthMm,
    widthMm: lengthMm * draw.between(0.5, 0.9),
  };
  if (lengthMm < 14) return { kind: "lesion", ...shape };
  return draw.chance(0.6)
    ? { kind: "wound", healed: draw.between(0, 0.6), ...shape }
    : { kind: "bruise", days: draw.between(0, 10), ...shape };
}

/** How far the sharp plane lies off so that a point of the subject becomes a disc of so many px: b = A m d / ((u + d) pitch). */
function focusOffsetMm(camera: Camera, blurPx: number): number {
  const pitchMm = camera.sensorMm.width / camera.widthPx;
  const objectMm = camera.focalMm * (1 + 1 / camera.magnification);
  const perMm = (camera.focalMm / camera.fNumber) * camera.magnification - blurPx * pitchMm;
  // As far off as a lens can be: what cannot be reached is told by the facts.
  const most = 0.4 * objectMm;
  return perMm > 0 ? Math.min((blurPx * pitchMm * objectMm) / perMm, most) : most;
}

function discPx(
  { camera: { objectDistanceMm, focusDistanceMm, imageDistanceMm } }: Truth,
  camera: Camera,
): number {
  const apertureMm = camera.focalMm / camera.fNumber;
  const discMm = apertureMm * imageDistanceMm * Math.abs(1 / objectDistanceMm - 1 / focusDistanceMm);
  return (discMm * camera.widthPx) / camera.sensorMm.width;
}

const GRID = 200;

function subjectTruth(body: Body, tone: SkinTone, { surface, widthPx, heightPx }: Truth): SubjectTruth {
  const h = surface.homographyMmToPx;
  const rings = bodyArt(body, tone).outline.map((ring) =>
    Array.from({ length: ring.length / 2 }, (_, i) => {
      const [x, y] = [ring[2 * i]!, ring[2 * i + 1]!];
      const w = h[2][0] * x + h[2][1] * y + h[2][2];
      return [(h[0][0] * x + h[0][1] * y + h[0][2]) / w, (h[1][0] * x + h[1][1] * y + h[1][2]) / w] as const;
    }),
  );
  const inside = (x: number, y: number): boolean => rings.some((ring) => winds(ring, x, y));
  let count = 0;
  for (let j = 0; j < GRID; j++)
    for (let i = 0; i < GRID; i++)
      if (inside(((i + 0.5) * widthPx) / GRID, ((j + 0.5) * heightPx) / GRID)) count++;
  const along = (at: (t: number) => readonly [number, number]): number =>
    Array.from({ length: GRID }, (_, i) => inside(...at((i + 0.5) / GRID))).filter(Boolean).length / GRID;
  return {
    inside,
    share: count / GRID ** 2,
    runsOut: {
      left: along((t) => [0.5, t * heightPx]),
      right: along((t) => [widthPx - 0.5, t * heightPx]),
      top: along((t) => [t * widthPx, 0.5]),
      bottom: along((t) => [t * widthPx, heightPx - 0.5]),
    },
  };
}

function winds(ring: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i]!;
    const [xj, yj] = ring[j]!;
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}

/** A reading as the scale's step would give it, from the truth: what is tried here is what comes after it. */
function scaleAnswer(truth: Truth): ScaleAnswer {
  const size = { file: "rendered", widthPx: truth.widthPx, heightPx: truth.heightPx };
  const scales = truth.things
    .flatMap((thing) => thing.edges)
    .map((edge) => ({ edge, seen: edge.ticks.filter((t) => t.inPicture) }))
    .filter(({ seen }) => seen.length > 10)
    .map(({ edge, seen }) => {
      const [a, b] = [seen[0]!.px, seen.at(-1)!.px];
      const deg = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
      return {
        kind: "straight" as const,
        unit: "mm" as const,
        pxPerMm: { value: edge.pxPerMm, u95: 0.01 * edge.pxPerMm },
        at: { x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2 },
        axisDeg: deg > 90 ? deg - 180 : deg <= -90 ? deg + 180 : deg,
        ticks: seen.map(({ px, mm }) => ({ x: px[0], y: px[1], mm: mm - seen[0]!.mm })),
        coverageMm: seen.at(-1)!.mm - seen[0]!.mm,
        residualPx: 0.1,
      };
    });
  if (scales.length === 0) return { ...size, found: false, reason: "There is none." };
  return {
    ...size,
    found: true,
    scales,
    plane: null,
    reproductionRatio: null,
    warnings: [],
    recipe: { step: "scale", version: 0, parameters: {} },
  };
}
