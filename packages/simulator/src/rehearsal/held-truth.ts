import { blurDiameterPx, lensOf } from "../camera/lens.ts";
import { cameraOf, glareOnScale, type HeldCamera } from "./held-camera.ts";

/** What the virtual camera really had. */
export interface HeldTruth {
  readonly magnification: number;
  readonly distanceMm: number;
  /** Between the axis and the normal of the skin. */
  readonly leanDeg: number;
  /** On the sensor, at the point that is aimed at. */
  readonly blurMm: number;
  readonly hasGlare: boolean;
}

const RAD = Math.PI / 180;
/** The sensor does not matter for lengths on it. */
const ANY_WIDTH_PX = 480;

export function heldTruth(held: HeldCamera): HeldTruth {
  const camera = cameraOf(held, ANY_WIDTH_PX);
  const lens = lensOf(camera);
  return {
    magnification: camera.magnification,
    distanceMm: lens.objectMm,
    leanDeg: Math.acos(Math.cos(held.leanDeg * RAD) * Math.cos(held.swingDeg * RAD)) / RAD,
    blurMm: blurDiameterPx(lens, lens.objectMm) * lens.pitchMm,
    hasGlare: glareOnScale(held) !== null,
  };
}
