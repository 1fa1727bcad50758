import type { XY } from "../answers.ts";
import type { UprightPicture } from "../decode/picture.ts";
import { type TurnedCrop, type TurnedRectangle, turnedCrop } from "./turned-crop.ts";

/** The upright picture or a part of it at some size, and how to come back to full-size pixels. */
export interface View {
  readonly picture: UprightPicture;
  /** Pixels of this view per full-size pixel. */
  readonly scale: number;
  /** Where the part's first pixel lies in the whole picture at this scale. */
  readonly left: number;
  readonly top: number;
}

/** As `turnedCrop`, of a rectangle in the whole picture at this scale, and back to there. */
export function viewCrop(
  { picture, left, top }: View,
  rectangle: TurnedRectangle,
  scale: number,
): TurnedCrop {
  const centre = { x: rectangle.centre.x - left, y: rectangle.centre.y - top };
  const crop = turnedCrop(picture, { ...rectangle, centre }, scale);
  const toPicture = (point: XY): XY => {
    const [x, y] = crop.toPicture(point);
    return [x + left, y + top];
  };
  return { ...crop, toPicture };
}
