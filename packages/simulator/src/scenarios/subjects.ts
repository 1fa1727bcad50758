import type { Camera } from "../camera/camera.ts";
import { rgb8 } from "../colour/colour.ts";
import { evenLight, frontalLight, obliqueLight, ringLight } from "../light/light.ts";
import { type Scene, standardScene, type Thing } from "../scene/scene.ts";
import { standardSkin } from "../skin/skin.ts";
import { standardBackdrop } from "../surface/backdrop.ts";
import type { Lesion } from "../things/lesion.ts";
import type { Wound } from "../things/wound.ts";

/** The invented patients' skins and what is photographed on them, as functions of the visit. */

const leg = standardSkin({ tone: 2, seed: 20411, hairs: 1.6, moles: 1.3, vessels: 0.8 });
const back = standardSkin({ tone: 1, seed: 11890, hairs: 0.7, moles: 1.6, vessels: 0.2 });
const arm = standardSkin({ tone: 5, seed: 33027, hairs: 1.2, moles: 0.8 });
const hand = standardSkin({ tone: 3, seed: 9144, hairs: 0.5, moles: 0.25 });
const heel = standardSkin({ tone: 2, seed: 27553, hairs: 0, moles: 0.1, vessels: 0.3 });
const forearm = standardSkin({ tone: 4, seed: 41206, hairs: 2.2, moles: 0.9 });

const HEALED = [0, 0.17, 0.36, 0.56] as const;

/** The leg wound at visit 0 to 3: smaller, cleaner, dryer each time. */
export function legWound(visit: number): Wound {
  return {
    kind: "wound",
    id: "leg wound",
    placement: { xMm: 14, yMm: 9, rotateDeg: 18 },
    seed: 5,
    lengthMm: 42,
    widthMm: 28,
    healed: HEALED[visit]!,
    slough: [0.5, 0.34, 0.16, 0.04][visit]!,
    maceration: [0.5, 0.35, 0.2, 0.12][visit]!,
    erythemaMm: [12, 9, 7, 5][visit]!,
    wet: [0.9, 0.7, 0.55, 0.4][visit]!,
  };
}

const LEG_BODY = { shape: "limb", widthMm: 124, axisDeg: 3 } as const;

export const legScene = (visit: number, scales: readonly Thing[]): Scene =>
  standardScene({ skin: leg, body: LEG_BODY, light: frontalLight(), things: [legWound(visit), ...scales] });

/** The mole on the back at visit 0 and 1: a little longer and darker. */
export function backLesion(visit: number): Lesion {
  return {
    kind: "lesion",
    id: "mole",
    placement: { xMm: 0, yMm: 0, rotateDeg: -25 },
    seed: 12,
    lengthMm: visit === 0 ? 7.6 : 8.5,
    widthMm: visit === 0 ? 5.4 : 6,
    darkness: visit === 0 ? 1 : 1.12,
    variety: visit === 0 ? 0.5 : 0.75,
  };
}

export const backScene = (visit: number, scales: readonly Thing[]): Scene =>
  standardScene({ skin: back, light: ringLight(), things: [backLesion(visit), ...scales] });

const BRUISE = {
  kind: "bruise",
  id: "bruise",
  placement: { xMm: 12, yMm: 10, rotateDeg: 24 },
  seed: 31,
  lengthMm: 64,
  widthMm: 30,
  days: 2,
  tramline: true,
} as const;

export const armScene = (scales: readonly Thing[]): Scene =>
  standardScene({
    skin: arm,
    body: { shape: "limb", widthMm: 128, axisDeg: -5 },
    light: frontalLight(),
    things: [BRUISE, ...scales],
  });

export const forearmScene = (scales: readonly Thing[]): Scene =>
  standardScene({
    skin: forearm,
    body: { shape: "limb", widthMm: 108, axisDeg: 7 },
    light: frontalLight(),
    things: [{ ...BRUISE, seed: 77, days: 5, tramline: false, lengthMm: 40, widthMm: 27 }, ...scales],
  });

export const handScene = (aspect: "dorsal" | "palmar"): Scene =>
  standardScene({
    skin: hand,
    body: { shape: "hand", side: "right", aspect },
    light: evenLight(),
    backdrop: standardBackdrop({ behindMm: 60 }),
    things: [
      {
        kind: "straight-scale",
        placement: { xMm: aspect === "dorsal" ? 74 : -74, yMm: 66, rotateDeg: 90 },
        lengthMm: 100,
        widthMm: 18,
        edges: ["mm"],
      },
    ],
  });

/** The heel lies at the surface's origin; the camera looks at a mirror beside it. */
export const HEEL_MIRROR_AT = { x: 900, y: 0 } as const;

export const heelScene = (): Scene =>
  standardScene({
    skin: heel,
    body: { shape: "heel" },
    light: obliqueLight(240, 55),
    backdrop: standardBackdrop({ behindMm: 220, rgb: rgb8(96, 128, 118) }),
    things: [
      {
        kind: "wound",
        id: "heel wound",
        placement: { xMm: 3, yMm: 13, rotateDeg: 40 },
        seed: 81,
        lengthMm: 19,
        widthMm: 14,
        slough: 0.55,
        erythemaMm: 6,
      },
      { kind: "straight-scale", placement: { xMm: 0, yMm: -26 }, lengthMm: 50, widthMm: 16, edges: ["mm"] },
      {
        kind: "mirror",
        placement: { xMm: HEEL_MIRROR_AT.x, yMm: HEEL_MIRROR_AT.y, heightMm: 15 },
        widthMm: 152,
        heightMm: 98,
        reflects: { xMm: 0, yMm: -8 },
      },
    ],
  });

export const portraitScene = (): Scene =>
  standardScene({
    skin: standardSkin({ tone: 4, seed: 61, hairs: 0, moles: 0.2, vessels: 0 }),
    body: { shape: "portrait", seed: 3 },
    light: obliqueLight(230, 52),
    backdrop: standardBackdrop({ rgb: rgb8(158, 160, 162), folds: 0, behindMm: 900 }),
  });

/** A label on the couch. */
export const labelScene = (lines: readonly string[], code: string, seed: number): Scene =>
  standardScene({
    light: frontalLight(),
    things: [
      {
        kind: "cloth",
        placement: { xMm: 0, yMm: 0 },
        widthMm: 420,
        heightMm: 300,
        rgb: rgb8(74, 112, 150),
        seed,
      },
      {
        kind: "card",
        placement: { xMm: 0, yMm: 0 },
        widthMm: 105,
        heightMm: 74,
        lines,
        code: { format: "qr", text: code, widthMm: 27 },
        seed,
      },
    ],
  });

/** Straight scale over the wound, for location views. */
export const locationScale: Thing = {
  kind: "straight-scale",
  placement: { xMm: 10, yMm: -34, rotateDeg: 3 },
  lengthMm: 100,
  widthMm: 18,
  edges: ["mm"],
  style: { material: "paper" },
};

/** Colour chart on the couch's edge of the leg, for location views. */
export const locationChart: Thing = {
  kind: "chart",
  placement: { xMm: -60, yMm: 8, rotateDeg: 4 },
  patchMm: 8,
};

export const lScaleBeside = (xMm: number, yMm: number, rotateDeg = 0): Thing => ({
  kind: "l-scale",
  placement: { xMm, yMm, rotateDeg },
  legMm: 60,
});

export const upright: Partial<Camera> = {
  widthPx: 1600,
  heightPx: 2400,
  sensorMm: { width: 24, height: 36 },
};
