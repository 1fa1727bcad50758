export { type AreaChange, areaChange, type SharedError, type SizeOnDay } from "./change/area-change.ts";
export { type Arc, arcOfChord } from "./curved/arc-of-chord.ts";
export {
  type Cylinder,
  cross,
  dot,
  laidOut,
  plus,
  times,
  unit,
  type Vector3,
} from "./curved/cylinder.ts";
export {
  type Orientation,
  type StoredSize,
  storedToUpright,
  storedToUprightMatrix,
  uprightSizeOf,
  uprightToStored,
} from "./frames/orientation.ts";
export { FROM_PIXEL_CENTRES, TO_PIXEL_CENTRES } from "./frames/pixel-centres.ts";
export {
  imageToPrint,
  imageToSensor,
  MM_PER_INCH,
  pixelPitchMm,
  planeToPrint,
  printToImage,
  printToPlane,
  sensorToImage,
  trueSizePixelsPerInch,
} from "./frames/sensor-and-print.ts";
export { fitHomography } from "./homography/fit-homography.ts";
export { fitAffine, fitSimilarity } from "./homography/fit-linear.ts";
export { type Lean, type LeanRefused, leanFromHomography } from "./homography/lean.ts";
export { type MeasuredLean, measuredLean } from "./homography/lean-uncertainty.ts";
export { jacobianAt, type LocalScale, localScalePxPerMm, type Matrix2 } from "./homography/local-scale.ts";
export {
  applyHomography,
  composeHomographies,
  imageToPlane,
  invertHomography,
  type Matrix3,
  planeToImage,
  sameSideOfHorizon,
} from "./homography/matrix3.ts";
export type { FitRefused, FitResult, Fitted, PointPair } from "./homography/pairs.ts";
export { contains } from "./polygon/contains.ts";
export { crossingsBetween, type SelfCrossing, selfCrossingsOf } from "./polygon/crossings.ts";
export { isValid, namedFaults } from "./polygon/faults.ts";
export { convexHullOf } from "./polygon/hull.ts";
export {
  type Extent,
  extentAtRightAngles,
  type GreatestLength,
  greatestLengthOf,
} from "./polygon/length-and-width.ts";
export { centroidOf, type Ellipse, fittedEllipseOf, type Moments, momentsOf } from "./polygon/moments.ts";
export { type Repaired, type RepairRefused, repair } from "./polygon/repair.ts";
export {
  areaOf,
  circularityOf,
  orient,
  perimeterOf,
  type Region,
  type Ring,
  signedAreaOf,
} from "./polygon/ring.ts";
export { type Reshaped, type ReshapeLimits, simplify } from "./polygon/simplify.ts";
export { type Smoothed, smooth } from "./polygon/smooth.ts";
export { seededRandom } from "./random.ts";
export { type Agreement, agreementOf } from "./repeats/agreement.ts";
export { type Intraclass, type IntraclassOfTable, intraclassOf } from "./repeats/intraclass.ts";
export {
  type OutlineRepeat,
  type OutlineRepeatability,
  outlineRepeatabilityOf,
} from "./repeats/outline-repeats.ts";
export { type Repeat, type Repeatability, repeatabilityOf } from "./repeats/repeatability.ts";
export { coverageFactor95 } from "./uncertainty/coverage.ts";
export {
  type Draw,
  normal,
  rectangular,
  standardFromHalfWidth,
  standardFromTriangle,
  triangular,
} from "./uncertainty/draws.ts";
export type { Measured } from "./uncertainty/measured.ts";
export { type MonteCarloResult, monteCarlo } from "./uncertainty/monte-carlo.ts";
export {
  type BudgetLine,
  type Correlation,
  type Propagated,
  propagate,
  type UncertainInput,
} from "./uncertainty/propagate.ts";
export { propagateCovariance } from "./uncertainty/propagate-covariance.ts";
export {
  type ImagePoint,
  imagePoint,
  type PlanePoint,
  type Point,
  type PrintPoint,
  planePoint,
  printPoint,
  type SensorPoint,
  type StoredPoint,
  sensorPoint,
  storedPoint,
} from "./units.ts";
