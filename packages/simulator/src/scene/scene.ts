import type { Body } from "../body/body.ts";
import { evenLight, type Light } from "../light/light.ts";
import { type Skin, standardSkin } from "../skin/skin.ts";
import { type Backdrop, standardBackdrop } from "../surface/backdrop.ts";
import type { Surface } from "../surface/carrier.ts";
import type { Bruise } from "../things/bruise.ts";
import type { Card } from "../things/card.ts";
import type { ColourChart } from "../things/chart.ts";
import type { Blood, Cloth, Disc, Finger, Glare } from "../things/covers.ts";
import type { Hairs } from "../things/hairs.ts";
import type { LScale } from "../things/l-scale.ts";
import type { LabelScale } from "../things/label-scale.ts";
import type { Lesion } from "../things/lesion.ts";
import type { MarkerScale } from "../things/marker-scale.ts";
import type { Mirror } from "../things/mirror.ts";
import type { Pattern } from "../things/pattern.ts";
import type { StraightScale } from "../things/straight-scale.ts";
import type { Wound } from "../things/wound.ts";

export type Thing =
  | StraightScale
  | LScale
  | LabelScale
  | MarkerScale
  | ColourChart
  | Card
  | Wound
  | Lesion
  | Bruise
  | Cloth
  | Mirror
  | Glare
  | Finger
  | Blood
  | Hairs
  | Pattern
  | Disc;

/** What lies in front of the camera. */
export interface Scene {
  readonly surface: Surface;
  readonly skin: Skin;
  /** What part of the surface is skin; absent: skin fills the picture (on a cylinder: up to its edges). */
  readonly body?: Body;
  /** What is seen beside the body. */
  readonly backdrop: Backdrop;
  /** In the order in which they lie on each other, lowest first. */
  readonly things: readonly Thing[];
  readonly light: Light;
}

/** Skin that fills the picture under even light. */
export function standardScene(overrides: Partial<Scene> = {}): Scene {
  return {
    surface: { shape: "plane" },
    skin: standardSkin(),
    backdrop: standardBackdrop(),
    things: [],
    light: evenLight(),
    ...overrides,
  };
}
