import { evenLight, type Light } from "../light/light.ts";
import { type Skin, standardSkin } from "../skin/skin.ts";
import type { Surface } from "../surface/carrier.ts";
import type { LScale } from "../things/l-scale.ts";
import type { StraightScale } from "../things/straight-scale.ts";

export type Thing = StraightScale | LScale;

/** What lies in front of the camera. */
export interface Scene {
  readonly surface: Surface;
  readonly skin: Skin;
  /** In the order in which they lie on each other, lowest first. */
  readonly things: readonly Thing[];
  readonly light: Light;
}

export function standardScene(overrides: Partial<Scene> = {}): Scene {
  return { surface: { shape: "plane" }, skin: standardSkin(), things: [], light: evenLight(), ...overrides };
}
