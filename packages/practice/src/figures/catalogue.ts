import * as body from "./body.ts";
import * as eyes from "./eyes.ts";
import * as hand from "./hand.ts";
import * as head from "./head.ts";
import * as leg from "./leg.ts";
import * as mouth from "./mouth.ts";
import * as others from "./others.ts";
import type { Point, Stroke } from "./pen.ts";
import * as places from "./places.ts";
import * as skin from "./skin.ts";

/** A drawing and where a view of it is aimed. */
export interface Figure {
  readonly strokes: readonly Stroke[];
  /** The middle of the frame, in the drawing's millimetres. */
  readonly aim: Point;
  /**
   * How sides are told. "front": the patient's right is the picture's left; "back": it is the picture's right;
   * "one": drawn for the right side and turned over for the left; "none": there are no sides to mix up.
   */
  readonly sides: "front" | "back" | "one" | "none";
}

const figure = (strokes: readonly Stroke[], aim: Point, sides: Figure["sides"]): Figure => ({
  strokes,
  aim,
  sides,
});

/** Every figure that a view can name. */
export const FIGURES = {
  "full-length-front": figure(body.bodyFront, [0, 900], "front"),
  "full-length-back": figure(body.bodyBack, [0, 900], "back"),
  "full-length-side": figure(body.bodySide, [20, 900], "one"),
  "half-body-front": figure(body.bodyFront, [0, 410], "front"),
  "half-body-back": figure(body.bodyBack, [0, 410], "back"),
  "half-body-side": figure(body.bodySide, [10, 410], "one"),
  "torso-front": figure(body.bodyFront, [0, 700], "front"),
  "torso-back": figure(body.bodyBack, [0, 700], "back"),
  "torso-side": figure(body.bodySideArmBack, [0, 700], "one"),
  "torso-oblique": figure(body.bodyOblique, [0, 700], "one"),
  "breast-front": figure(body.bodyFront, [0, 490], "front"),
  "breast-oblique": figure(body.bodyOblique, [-10, 490], "one"),
  "breast-side": figure(body.bodySideArmBack, [10, 490], "one"),
  "breast-arms-raised": figure(body.bodyArmsRaised, [0, 490], "front"),
  "shoulder-blades": figure(body.bodyBack, [0, 440], "back"),
  sacrum: figure(body.sacrum, [0, 820], "back"),
  hip: figure(body.hip, [0, 866], "one"),
  "head-front": figure(head.headFront, [0, 152], "front"),
  "head-smile": figure(head.headSmile, [0, 152], "front"),
  "head-brows": figure(head.headBrows, [0, 152], "front"),
  "head-eyes-tight": figure(head.headEyesTight, [0, 152], "front"),
  "head-teeth": figure(head.headTeeth, [0, 152], "front"),
  "head-side": figure(head.headSide, [2, 152], "one"),
  "head-oblique": figure(head.headOblique, [-8, 152], "one"),
  "head-back": figure(head.headBack, [0, 152], "back"),
  "head-basal": figure(head.headBasal, [0, 130], "front"),
  "head-cephalic": figure(head.headCephalic, [0, 120], "front"),
  "ears-front": figure(head.headFront, [0, 122], "front"),
  "ears-back": figure(head.headBack, [0, 122], "back"),
  ear: figure(head.earClose, [-4, 0], "one"),
  "eyes-ahead": figure(eyes.eyesAhead, [0, -4], "front"),
  "eyes-up": figure(eyes.eyesUp, [0, -4], "front"),
  "eyes-down": figure(eyes.eyesDown, [0, -4], "front"),
  "eyes-right": figure(eyes.eyesRight, [0, -4], "front"),
  "eyes-left": figure(eyes.eyesLeft, [0, -4], "front"),
  "eyes-closed": figure(eyes.eyesClosed, [0, -4], "front"),
  eye: figure(eyes.eyeClose, [0, 0], "one"),
  "hand-dorsal": figure(hand.handDorsal, [-10, 2], "one"),
  "hand-palmar": figure(hand.handPalmar, [10, 2], "one"),
  "hand-radial": figure(hand.handRadial, [-4, 2], "one"),
  "hand-ulnar": figure(hand.handUlnar, [2, 2], "one"),
  "hands-dorsal": figure(hand.handsDorsal, [0, 0], "back"),
  "hands-palmar": figure(hand.handsPalmar, [0, 0], "front"),
  "hands-fists": figure(hand.handsFists, [0, 16], "back"),
  "hands-extension": figure(hand.handsExtension, [0, -6], "back"),
  "finger-dorsal": figure(hand.fingerDorsal, [6, 0], "one"),
  "finger-palmar": figure(hand.fingerPalmar, [6, 0], "one"),
  "arm-front": figure(hand.armFront, [-20, 0], "one"),
  "arm-back": figure(hand.armBack, [20, 0], "one"),
  forearm: figure(hand.forearm, [-20, 0], "one"),
  elbow: figure(hand.elbow, [-8, 8], "one"),
  "foot-dorsal": figure(leg.footDorsal, [0, 4], "one"),
  "foot-plantar": figure(leg.footPlantar, [0, 4], "one"),
  "foot-medial": figure(leg.footMedial, [0, 10], "one"),
  "foot-lateral": figure(leg.footLateral, [0, 10], "one"),
  "feet-front": figure(leg.feetFront, [0, -40], "front"),
  "feet-back": figure(leg.feetBack, [0, -40], "back"),
  "leg-front": figure(leg.legFront, [-10, 590], "one"),
  "leg-back": figure(leg.legBack, [10, 590], "one"),
  "leg-medial": figure(leg.legMedial, [-10, 590], "one"),
  "leg-lateral": figure(leg.legLateral, [10, 590], "one"),
  "lower-leg-front": figure(leg.legFront, [-6, 640], "one"),
  "lower-leg-back": figure(leg.legBack, [6, 640], "one"),
  "lower-leg-medial": figure(leg.legMedial, [10, 640], "one"),
  "lower-leg-lateral": figure(leg.legLateral, [-10, 640], "one"),
  "heel-mirror": figure(leg.heelMirror, [4, -2], "one"),
  "mouth-front": figure(mouth.mouthFront, [0, 0], "front"),
  "mouth-side": figure(mouth.mouthSide, [0, 0], "one"),
  "arch-upper": figure(mouth.archUpper, [0, 0], "front"),
  "arch-lower": figure(mouth.archLower, [0, 0], "front"),
  overjet: figure(mouth.overjet, [2, 2], "one"),
  smile: figure(mouth.smile, [0, 0], "front"),
  quadrant: figure(mouth.quadrant, [0, 4], "one"),
  "quadrant-upper": figure(mouth.quadrantUpper, [0, -4], "one"),
  "scalp-top": figure(head.scalpTop, [0, 100], "front"),
  "scalp-hairline": figure(head.scalpHairline, [0, 110], "front"),
  "scalp-parting": figure(head.scalpParting, [0, 0], "none"),
  "patch-plain": figure(skin.patchPlain, [0, 0], "none"),
  "patch-lesion": figure(skin.patchLesion, [0, 0], "none"),
  "patch-lesion-medium": figure(skin.patchLesionMedium, [0, 0], "none"),
  "patch-wound": figure(skin.patchWound, [0, 0], "none"),
  "patch-wound-off-centre": figure(skin.patchWoundOffCentre, [0, 0], "none"),
  "patch-injury": figure(skin.patchInjury, [0, 0], "none"),
  "patch-injury-off-centre": figure(skin.patchInjuryOffCentre, [0, 0], "none"),
  "patch-bite": figure(skin.patchBite, [0, 0], "none"),
  "patch-bite-arch": figure(skin.patchBite, [0, -8], "none"),
  "patch-burn": figure(skin.patchBurn, [0, 0], "none"),
  "region-lesion": figure(skin.regionLesion, [20, 0], "none"),
  "region-wound": figure(skin.regionWound, [20, 0], "none"),
  "region-injury": figure(skin.regionInjury, [20, 0], "none"),
  "region-burn": figure(skin.regionBurn, [20, 0], "none"),
  "newborn-front": figure(others.newbornFront, [0, 216], "front"),
  "newborn-back": figure(others.newbornBack, [0, 216], "back"),
  "newborn-side": figure(others.newbornSide, [40, 6], "one"),
  "newborn-face": figure(others.newbornFront, [0, 62], "front"),
  "theatre-field": figure(others.theatreField, [0, 0], "none"),
  "theatre-close": figure(others.theatreClose, [0, 0], "none"),
  specimen: figure(others.specimen, [0, 4], "none"),
  "specimen-cut": figure(others.specimenCut, [0, 4], "none"),
  "label-frame": figure(others.labelFrame, [0, 0], "none"),
  portrait: figure(places.portrait, [0, 200], "none"),
  "portrait-half": figure(places.portraitHalf, [0, 420], "none"),
  group: figure(places.group, [0, 330], "none"),
  event: figure(places.event, [0, 0], "none"),
  room: figure(places.room, [0, 0], "none"),
  "room-detail": figure(places.roomDetail, [0, 0], "none"),
  equipment: figure(places.equipment, [0, 16], "none"),
  "equipment-detail": figure(places.equipmentDetail, [0, 0], "none"),
  "equipment-plate": figure(places.equipmentPlate, [0, 0], "none"),
} as const satisfies Readonly<Record<string, Figure>>;

export type FigureName = keyof typeof FIGURES;
export const FIGURE_NAMES = Object.keys(FIGURES) as [FigureName, ...FigureName[]];
