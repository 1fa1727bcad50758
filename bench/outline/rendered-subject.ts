import { seededRandom } from "../../packages/geometry/src/index.ts";
import { filled } from "../../packages/picture/test/outline/drawn.ts";
import {
  evenLight,
  frontalLight,
  obliqueLight,
  renderPicture,
  ringLight,
  type SkinTone,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../../packages/simulator/src/index.ts";

export const SUBJECTS = ["wound", "lesion", "bruise"] as const;
export type Subject = (typeof SUBJECTS)[number];
/** Across the subject at the size the outline is found at (512 px): small, middling, large, as in the developer photographs. */
const SIZES_PX = [
  [22, 35],
  [36, 56],
  [60, 140],
] as const;
const SIZE_NAMES = ["1 under 1000 px", "2 1000 to 2500 px", "3 over 2500 px"] as const;
/** Every subject on every tone in every size once; seeds go round. */
export const CASES = SUBJECTS.length * 6 * SIZES_PX.length;

export const WIDTH_PX = 1024;
const HEIGHT_PX = 683;
const SENSOR_MM = 36;

/** One rendered subject with its true mask. Same seed, same picture. */
export async function renderedSubject(seed: number) {
  const subject = SUBJECTS[seed % 3]!;
  const tone = ((Math.floor(seed / 3) % 6) + 1) as SkinTone;
  const sizeIndex = Math.floor(seed / 18) % 3;
  const random = seededRandom(seed);
  const [leastPx, mostPx] = SIZES_PX[sizeIndex]!;
  const acrossPx = (leastPx + (mostPx - leastPx) * random()) * (WIDTH_PX / 512);
  const round = 0.5 + 0.5 * random();
  const thing = thingOf(subject, seed, round, random);
  const acrossMm = Math.sqrt(thing.lengthMm * thing.widthMm);
  const pxPerMm = acrossPx / acrossMm;
  const camera = standardCamera({
    widthPx: WIDTH_PX,
    heightPx: HEIGHT_PX,
    sensorMm: { width: SENSOR_MM, height: (SENSOR_MM * HEIGHT_PX) / WIDTH_PX },
    magnification: (pxPerMm * SENSOR_MM) / WIDTH_PX,
    // The subject lies somewhere about the middle, not in it.
    targetMm: { x: (160 * (random() - 0.5)) / pxPerMm, y: (100 * (random() - 0.5)) / pxPerMm },
    leanXDeg: 16 * (random() - 0.5),
    leanYDeg: 16 * (random() - 0.5),
    iso: [100, 200, 400, 800][Math.floor(4 * random())]!,
    exposureStops: 0.6 * (random() - 0.5),
  });
  const scene = standardScene({
    skin: standardSkin({ tone, seed, hairs: 3 * random(), moles: 1.2 * random(), vessels: random() }),
    light: [evenLight(), frontalLight(), ringLight(), obliqueLight(360 * random(), 50)][
      Math.floor(4 * random())
    ]!,
    things: [thing],
  });
  const picture = await renderPicture({ scene, camera, seed });
  const region = picture.truth.things[0]!.regions[0]!;
  const truth = filled([{ outline: region.outlinePx, holes: region.holesPx }], WIDTH_PX, HEIGHT_PX);
  return { subject, tone, size: SIZE_NAMES[sizeIndex]!, picture, truth, outlinePx: region.outlinePx };
}

function thingOf(subject: Subject, seed: number, round: number, random: () => number) {
  const placement = { xMm: 0, yMm: 0, rotateDeg: 360 * random() };
  const sized = (leastMm: number, mostMm: number) => {
    const lengthMm = leastMm + (mostMm - leastMm) * random();
    return { placement, seed, lengthMm, widthMm: round * lengthMm };
  };
  switch (subject) {
    case "wound":
      return {
        kind: "wound",
        ...sized(12, 45),
        healed: 0.6 * random(),
        slough: random(),
        maceration: 0.6 * random(),
        erythemaMm: 3 + 9 * random(),
        wet: random(),
      } satisfies Thing;
    case "lesion":
      return {
        kind: "lesion",
        ...sized(5, 14),
        darkness: 0.5 + random(),
        variety: random(),
      } satisfies Thing;
    case "bruise":
      return { kind: "bruise", ...sized(25, 70), days: 0.5 + 8 * random() } satisfies Thing;
  }
}
