import { type Practice, parsePractice } from "../src/read/practice.ts";
import type { PracticeText } from "../src/read/yaml-file.ts";
import type { View } from "../src/views/view.ts";
import type { ViewSet } from "../src/views/view-set.ts";

/** A view for tests; every field can be set. */
export function viewOf(fields: Partial<View>): View {
  return {
    key: "view",
    name: "View",
    part: "lower leg",
    side: "left",
    aspect: "lateral",
    magnification: 0.25,
    onSmallerSensor: "same-field",
    orientation: "landscape",
    position: "lying",
    referenceLine: "none",
    cameraHeight: "level with the wound",
    cameraAngle: "square to the skin",
    landmarks: [],
    lens: "clinical",
    fNumber: 16,
    reliefMm: 0,
    light: "two-sides",
    backdrop: "plain blue cloth",
    scale: "straight",
    scaleWhere: "beside the wound",
    scalePlane: "level with the skin",
    mirror: "none",
    mirrored: false,
    chart: "none",
    hands: "",
    jewellery: "",
    cautions: [],
    chaperone: "not-needed",
    identifiable: false,
    minutes: 1,
    instructions: "",
    origins: { otherwise: { mark: "practice", source: null } },
    ...fields,
  };
}

/** As it is planned with a 100 mm lens on 36 x 24 mm. */
export const plannedOf = (view: View) => ({ view, magnification: view.magnification, focalMm: 100 });

const DEPARTMENT = `
department: Invented department
version: 3
circleOfConfusionMm: 0.03
nameOnCard: false
leastWorkingDistanceMm: 100
standingRoomMm: 0
settingUpMinutes: 5
places:
  - { key: studio, name: Studio, freeMm: 5000 }
  - { key: room, name: This room, freeMm: 1200 }
lights:
  - { key: two-sides, name: Two lights, flash: off-camera, heads: 2, placement: 45° each side, distance: lens, good: colour }
  - { key: ring, name: Ring, flash: ring, heads: 1, placement: on the lens, distance: lens, good: mouth }
  - { key: there, name: Light that is there, flash: none, heads: 0, placement: window, distance: 2000, good: rooms }
tolerances:
  ratioPercent: { value: 5, mark: own, why: invented }
  seriesRatioPercent: { value: 2, mark: own, why: invented }
  leanDeg: { value: 6, mark: own, why: invented }
  scaleHeightMm: { value: 4, mark: own, why: invented }
  blurMm: { value: 0.06, mark: own, why: invented }
  burntOutPercent: { value: 1, mark: own, why: invented }
  blockedPercent: { value: 20, mark: own, why: invented }
  exposureStops: { value: 0.7, mark: own, why: invented }
  aimedOffPercent: { value: 12, mark: own, why: invented }
  rollDeg: { value: 5, mark: own, why: invented }
  backdropCreases: { value: 0.06, mark: own, why: invented }
  backdropUnevenStops: { value: 1.2, mark: own, why: invented }
  backdropShadowStops: { value: 0.8, mark: own, why: invented }
  lightTurnDeg: { value: 45, mark: own, why: invented }
`;

const KIT = `
version: 1
bodies:
  - { id: full, name: Full, sensor: 36x24, pixels: 6000x4000 }
  - { id: small, name: Small, sensor: 23.5x15.6, pixels: 6000x4000 }
lenses:
  - { id: m100, name: 100 mm, focalMm: 100, focusing: extension, greatestRatio: 1:1, closestMm: 300, ratiosMarked: ["1:1", "1:4", "1:10"], fNumbers: { least: 2.8, most: 32 } }
  - { id: m60, name: 60 mm, focalMm: 60, focusing: extension, greatestRatio: 1:1, closestMm: 200, fNumbers: { least: 2.8, most: 22 } }
  - { id: w24, name: 24 mm, focalMm: 24, greatestRatio: 1:4, closestMm: 200, fNumbers: { least: 2.8, most: 22 } }
flashes:
  - { id: side-a, name: Side A, kind: off-camera, guideNumberM: 32, leastPowerPart: 128 }
  - { id: side-b, name: Side B, kind: off-camera, guideNumberM: 32, leastPowerPart: 128 }
  - { id: ring, name: Ring, kind: ring, guideNumberM: 12, leastPowerPart: 64 }
`;

const SET = `
key: any
name: Any
version: 1
purpose: record
views: [{ key: view, name: View, part: arm, side: left, aspect: lateral, orientation: landscape, ratio: 1:4, onSmallerSensor: same-field, position: sitting, referenceLine: none, cameraHeight: level, cameraAngle: square, landmarks: [], lens: clinical, fNumber: 16, light: two-sides, backdrop: cloth, scale: none, mirror: none, chart: none, cautions: [], chaperone: not-needed, identifiable: false, minutes: 1 }]
`;

/** The files of a practice that holds; `changed` replaces texts within them. */
export function practiceTexts(
  changed: readonly (readonly [from: string, to: string])[] = [],
): PracticeText[] {
  return Object.entries({ "department.yaml": DEPARTMENT, "kit.yaml": KIT, "view-sets/any.yaml": SET }).map(
    ([path, text]) => ({ path, text: changed.reduce((now, [from, to]) => now.replaceAll(from, to), text) }),
  );
}

export const practiceOf = (changed: readonly (readonly [from: string, to: string])[] = []): Practice =>
  parsePractice(practiceTexts(changed), "of the test");

/** A view set of these views. */
export const setOf = (...views: View[]): ViewSet => ({
  key: "set",
  name: "Set",
  version: 2,
  purpose: "series",
  views,
});
