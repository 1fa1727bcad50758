import { contains, imagePoint } from "@samescale/geometry";
import type { XY } from "../answers.ts";

/** What a person is known by in a picture, or named by. */
export const MASK_KINDS = [
  "face",
  "other-person",
  "tattoo",
  "mark",
  "jewellery",
  "clothing",
  "wristband",
  "label",
  "writing",
  "screen",
  "other",
] as const;
export type MaskKind = (typeof MASK_KINDS)[number];

/** Something that must not be seen when the picture leaves. */
export interface MaskArea {
  readonly kind: MaskKind;
  /** In pixels of the upright original, at least three points. */
  readonly polygon: readonly XY[];
}

export const inPolygon = (polygon: readonly XY[], [x, y]: XY): boolean =>
  contains({ outline: polygon.map(([px, py]) => imagePoint(px, py)), holes: [] }, imagePoint(x, y));
