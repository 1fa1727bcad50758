/**
 * Lesson 2. A leg wound beside an L-shaped scale, photographed with the camera leaning 12°. How large is it, and how
 * sure is that? Every source of doubt is named and weighed; then the same is done by drawing lots.
 *
 * Run it: node examples/02-how-sure-is-an-area.ts
 */
import {
  applyHomography,
  areaOf,
  extentAtRightAngles,
  fitHomography,
  greatestLengthOf,
  imagePoint,
  invertHomography,
  type Matrix3,
  measuredLean,
  monteCarlo,
  normal,
  type Point,
  perimeterOf,
  propagate,
  propagateCovariance,
  type Ring,
  rectangular,
  seededRandom,
  standardFromHalfWidth,
} from "@samescale/geometry";

const say = (line = "") => process.stdout.write(`${line}\n`);
const random = seededRandom(2);

// What the picture holds. A real picture gives only the pixels below; here the truth is known, to check against.
const lean = (12 * Math.PI) / 180;
const focalPx = 9000;
const trueMmToPx: Matrix3 = [
  [focalPx * Math.cos(lean) + 3000 * Math.sin(lean), 0, 3000 * 600 - 40 * focalPx],
  [2000 * Math.sin(lean), focalPx, 2000 * 600 - 40 * focalPx],
  [Math.sin(lean), 0, 600],
];
const trueOutline: Ring = Array.from({ length: 120 }, (_, i) => {
  const angle = (2 * Math.PI * i) / 120;
  const r = 12 + 2 * Math.cos(3 * angle) + Math.sin(5 * angle);
  return { x: 55 + 1.4 * r * Math.cos(angle), y: 45 + r * Math.sin(angle) };
});
const reading = normal(0, 0.4);
const ticks = [0, 10, 20, 30, 40, 50, 60, 70, 80].flatMap((d) => [
  { x: d, y: 0 },
  { x: 0, y: d },
]);
const readTicks = ticks.map((from) => {
  const to = applyHomography(trueMmToPx, from);
  return { from, to: { x: to.x + reading(random), y: to.y + reading(random) } };
});
const outlinePx = trueOutline.map((p) => applyHomography(trueMmToPx, p));

// 1. The plane, from the graduations of both legs: millimetres -> pixels, as the pixels were measured.
const fit = fitHomography(readTicks);
if (!fit.ok) throw new Error(fit.reason);
say(`Plane from ${ticks.length} graduations, residual ${fit.rmsResidual.toFixed(2)} px`);

const tilt = measuredLean({
  mmToPx: fit,
  principalPoint: imagePoint(3000, 2000),
  uPrincipalPointPx: 30,
  focalPx,
  uFocalPx: 200,
});
if (tilt.ok)
  say(`Camera leans ${tilt.tiltDeg.value.toFixed(1)}° ± ${tilt.tiltDeg.u95.toFixed(1)}° (truth 12°)`);

// 2. The outline on that plane.
const onPlane = (mmToPx: Matrix3, ring: Ring): Point[] => {
  const pxToMm = invertHomography(mmToPx);
  return ring.map((p) => applyHomography(pxToMm, p));
};
const areaMm2 = (mmToPx: Matrix3) => areaOf({ outline: onPlane(mmToPx, outlinePx), holes: [] });
const outline = onPlane(fit.homography, outlinePx);
const area = areaMm2(fit.homography);
const { length, ends } = greatestLengthOf(outline);
const { width } = extentAtRightAngles(outline, ends);
say(`Length ${length.toFixed(1)} mm, width ${width.toFixed(1)} mm, area ${area.toFixed(1)} mm²`);
say(`Length × width would have said ${(length * width).toFixed(0)} mm²`);

// 3. What makes it doubtful.
const matrixOf = (v: readonly number[]) =>
  [v.slice(0, 3), v.slice(3, 6), [v[6], v[7], 1]] as unknown as Matrix3;
const elements = fit.homography.flat().slice(0, 8);
const planeVariance = propagateCovariance({
  f: (v) => [areaMm2(matrixOf(v))],
  values: elements,
  covariance: fit.covariance,
});
const inputs = [
  { name: "reading the graduations", value: area, u: Math.sqrt(planeVariance[0]![0]!) },
  { name: "the scale's own make, ± 0.1 mm in 80", value: 1, u: standardFromHalfWidth(0.1 / 80) },
  { name: "scale up to 2 mm above the skin, at 600 mm", value: 1, u: standardFromHalfWidth(2 / 600) },
  { name: "where the edge is, 0.15 mm all round", value: 0, u: 0.15 },
];
const edge = perimeterOf(outline);
const measured = ([read, make, height, shift]: readonly number[]) =>
  (read! + edge * shift!) * make! ** 2 * height! ** 2;
const result = propagate({ f: measured, inputs });
say();
say(`Area ${result.value.toFixed(0)} mm² ± ${result.u95.toFixed(0)} mm² (95 %)`);
for (const { source, u, share } of result.budget) {
  say(`  ${u.toFixed(2).padStart(6)} mm²  ${(100 * share).toFixed(0).padStart(3)} %  ${source}`);
}
const truth = areaOf({ outline: trueOutline, holes: [] });
const isHeld = Math.abs(truth - result.value) <= result.u95;
say(`The truth, ${truth.toFixed(0)} mm², lies ${isHeld ? "inside" : "OUTSIDE"}.`);

// 4. The same by drawing lots, without assuming that small changes act in proportion.
const drawn = monteCarlo({
  f: measured,
  inputs: [
    { name: inputs[0]!.name, draw: normal(area, inputs[0]!.u) },
    { name: inputs[1]!.name, draw: rectangular(1, 0.1 / 80) },
    { name: inputs[2]!.name, draw: rectangular(1, 2 / 600) },
    { name: inputs[3]!.name, draw: normal(0, 0.15) },
  ],
  draws: 50_000,
  random,
});
const [low, high] = drawn.interval95.map((v) => v.toFixed(0));
say(`By drawing lots: ${drawn.mean.toFixed(0)} mm², 95 % between ${low} and ${high} mm²`);
