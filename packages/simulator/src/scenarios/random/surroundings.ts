import { rgb8 } from "../../colour/colour.ts";
import { evenLight, frontalLight, mixedLight, obliqueLight, ringLight } from "../../light/light.ts";
import { type Scene, standardScene, type Thing } from "../../scene/scene.ts";
import { standardSkin } from "../../skin/skin.ts";
import type { SkinTone } from "../../skin/tone.ts";
import { standardBackdrop } from "../../surface/backdrop.ts";
import type { Draw } from "./draw.ts";

/** Skin of anybody, in any light of the trade, with or without something to photograph on it. */
export function anySurroundings(draw: Draw, seed: number, fieldMm: number): Scene {
  const limb = draw.chance(0.35);
  const things = draw.chance(0.5) ? [anySubject(draw, seed, fieldMm)] : [];
  return standardScene({
    skin: standardSkin({
      tone: draw.whole(1, 6) as SkinTone,
      seed,
      hairs: draw.chance(0.3) ? draw.between(3, 12) : draw.between(0, 2),
      moles: draw.between(0, 2.5),
      vessels: draw.share(),
    }),
    ...(limb && {
      body: { shape: "limb", widthMm: draw.between(0.55, 1.1) * fieldMm, axisDeg: draw.between(-30, 30) },
    }),
    backdrop: standardBackdrop({
      rgb: draw.pick([rgb8(74, 112, 150), rgb8(60, 122, 96), rgb8(38, 40, 44), rgb8(168, 172, 176)]),
      behindMm: draw.between(30, 400),
      folds: draw.share(),
      seed,
    }),
    light: anyLight(draw),
    things,
  });
}

function anyLight(draw: Draw): Scene["light"] {
  switch (draw.whole(0, 4)) {
    case 0:
      return evenLight();
    case 1:
      return ringLight();
    case 2:
      return obliqueLight(draw.between(0, 360), draw.between(28, 55));
    case 3:
      return mixedLight();
    default:
      return frontalLight();
  }
}

function anySubject(draw: Draw, seed: number, fieldMm: number): Thing {
  const lengthMm = Math.max(3, Math.min(70, draw.between(0.08, 0.25) * fieldMm));
  const widthMm = lengthMm * draw.between(0.5, 0.9);
  const placement = {
    xMm: draw.between(-0.25, 0.25) * fieldMm,
    yMm: draw.between(-0.18, 0.18) * fieldMm,
    rotateDeg: draw.between(0, 360),
  };
  const shape = { placement, seed, lengthMm, widthMm };
  if (lengthMm < 14) return { kind: "lesion", ...shape };
  if (draw.chance(0.5)) return { kind: "wound", healed: draw.between(0, 0.6), ...shape };
  return { kind: "bruise", days: draw.between(0, 14), ...shape };
}
