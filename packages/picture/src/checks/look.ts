import type { ScaleAnswer } from "../answers.ts";
import type { GreyPicture } from "../decode/picture.ts";
import type { LookAnswer } from "../look-answer.ts";
import { backdropSeen } from "./backdrop.ts";
import { skinExposure } from "./exposure.ts";
import { focusOfScale, focusOfSubject } from "./focus.ts";
import { lightSide } from "./light-side.ts";
import { cellsNearScales, scaleLines } from "./near-scale.ts";
import { partsOfFrame } from "./parts-of-frame.ts";
import type { Reduced } from "./reduced.ts";
import { rollSeen } from "./roll.ts";
import { subjectSeen } from "./subject.ts";

/**
 * What one frame shows beyond scale, colour and alignment (see docs/methods/bedside.md). Sizes and colours come from the
 * reduced picture, sharpness from the full-size grey.
 */
export function look(
  picture: Reduced,
  grey: GreyPicture,
  scale: ScaleAnswer | undefined,
): Omit<LookAnswer, "file" | "warnings"> {
  const lines = scaleLines(scale);
  const near = cellsNearScales(picture, lines);
  const parts = partsOfFrame(picture, near);
  return {
    widthPx: picture.widthPx,
    heightPx: picture.heightPx,
    subject: subjectSeen(picture, parts),
    focus: { subject: focusOfSubject(grey, picture, parts, near), scale: focusOfScale(grey, lines) },
    exposure: skinExposure(picture, parts, lines, near),
    backdrop: backdropSeen(picture, parts, near),
    light: lightSide(picture, parts, near),
    roll: rollSeen(scale),
    recipe: { step: "look", version: 1, parameters: { scaleRead: scale?.found === true } },
  };
}
