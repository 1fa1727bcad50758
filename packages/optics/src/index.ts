export {
  type BalancedAperture,
  type BalanceSetup,
  balanceForDepth,
  greatestSharpDepth,
} from "./balance.ts";
export { type CarriedRatio, type CarryWay, carryRatio } from "./carry.ts";
export { type CocConvention, circleOfConfusionMm, diagonalOverCoc } from "./circle-of-confusion.ts";
export { parseDecimal } from "./decimal.ts";
export {
  closeUpDepthOfField,
  type DepthOfField,
  type DepthSetup,
  depthOfField,
  exactDepthOfField,
} from "./depth-of-field.ts";
export { airyDiscMm, GREEN_NM, largestMagnificationForAiry } from "./diffraction.ts";
export {
  extensionMm,
  imageDistanceMm,
  imageFromObjectDistanceMm,
  objectDistanceMm,
  objectFromImageDistanceMm,
} from "./distance.ts";
export { nearestMarkedFNumber } from "./f-number.ts";
export { type Field, fieldOf, magnificationToFit } from "./field.ts";
export { type CloseUpFigures, type CloseUpSetup, closeUpFigures } from "./figures.ts";
export { flashDistanceMm, flashFNumber, guideNumberAtIso } from "./guide-number.ts";
export { hyperfocalMm } from "./hyperfocal.ts";
export { illuminanceRatio, illuminanceStops } from "./inverse-square.ts";
export {
  magnificationFromDistances,
  magnificationFromExtension,
  magnificationFromImageDistance,
  magnificationFromObjectDistance,
  magnificationFromPicture,
  magnificationFromSizes,
} from "./magnification.ts";
export { moveBackMm } from "./move.ts";
export { focalInForceMm, magnificationsFromObjectToImage, objectToImageMm } from "./object-to-image.ts";
export { perspectiveChange, scaleAgainstPlaneBehind } from "./perspective.ts";
export {
  bellowsFactor,
  effectiveFNumber,
  exposureFactor,
  exposureFactorStops,
  markedFNumber,
  objectToEntrancePupilMm,
} from "./pupil.ts";
export { formatRatio, parseRatio } from "./ratio.ts";
export {
  cropFactor,
  diagonalMm,
  equivalentFocalMm,
  FRAME_36X24,
  formatSensorSize,
  parseSensorSize,
  SENSOR_FORMATS,
  type SensorSize,
} from "./sensor.ts";
export { type OpticsWarning, type TrapSetup, trapsOf } from "./traps.ts";
export { type WorkingDistance, workingDistance } from "./working-distance.ts";
export { guideNumberAtZoom, longestCoveringZoomMm, type ZoomHeadEntry } from "./zoom-head.ts";
