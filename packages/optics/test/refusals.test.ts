import assert from "node:assert/strict";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import * as optics from "../src/index.ts";

const sensor = { widthMm: 36, heightMm: 24 };
const depth = { focalMm: 100, magnification: 0.1, fNumber: 11, cocMm: 0.03, pupilRatio: 1 };
const balance = { focalMm: 100, magnification: 0.1, pupilRatio: 1, cocMm: 0.03, wavelengthNm: 550 };

/** Every function with arguments that are right; the test spoils one number after the other. */
const CALLS: readonly (readonly [
  name: string,
  call: (...n: number[]) => unknown,
  right: readonly number[],
])[] = [
  ["magnificationFromDistances", optics.magnificationFromDistances, [110, 1100]],
  ["magnificationFromImageDistance", optics.magnificationFromImageDistance, [100, 110]],
  ["magnificationFromObjectDistance", optics.magnificationFromObjectDistance, [100, 1100]],
  ["magnificationFromSizes", optics.magnificationFromSizes, [5, 10]],
  ["magnificationFromPicture", optics.magnificationFromPicture, [25, 24, 6000]],
  ["objectDistanceMm", optics.objectDistanceMm, [100, 0.1]],
  ["imageDistanceMm", optics.imageDistanceMm, [100, 0.1]],
  ["objectFromImageDistanceMm", optics.objectFromImageDistanceMm, [100, 110]],
  ["imageFromObjectDistanceMm", optics.imageFromObjectDistanceMm, [100, 1100]],
  ["extensionMm", optics.extensionMm, [100, 0.5]],
  ["moveBackMm", optics.moveBackMm, [100, 0.125, 0.1]],
  [
    "fieldOf",
    (width, height, m) => optics.fieldOf({ widthMm: width ?? 0, heightMm: height ?? 0 }, m ?? 0),
    [36, 24, 0.1],
  ],
  ["effectiveFNumber", (N, P) => optics.effectiveFNumber(N ?? 0, 1, P ?? 0), [8, 1]],
  ["markedFNumber", (N, P) => optics.markedFNumber(N ?? 0, 1, P ?? 0), [16, 1]],
  ["objectToEntrancePupilMm", optics.objectToEntrancePupilMm, [100, 0.1, 0.8]],
  ["hyperfocalMm", optics.hyperfocalMm, [50, 8, 0.03]],
  ["airyDiscMm", optics.airyDiscMm, [16, 550]],
  ["largestMagnificationForAiry", optics.largestMagnificationForAiry, [8, 0.03, 1, 550]],
  [
    "diagonalMm",
    (width, height) => optics.diagonalMm({ widthMm: width ?? 0, heightMm: height ?? 0 }),
    [36, 24],
  ],
  ["diagonalOverCoc", (coc) => optics.diagonalOverCoc(sensor, coc ?? 0), [0.03]],
  ["equivalentFocalMm", optics.equivalentFocalMm, [50, 1.5]],
  ["guideNumberAtIso", optics.guideNumberAtIso, [15.6, 200, 400]],
  ["flashFNumber", (gn, d, P) => optics.flashFNumber(gn ?? 0, d ?? 0, 0.1, P ?? 0), [32, 4000, 1]],
  ["flashDistanceMm", (gn, N, P) => optics.flashDistanceMm(gn ?? 0, N ?? 0, 0.1, P ?? 0), [32, 8, 1]],
  ["illuminanceRatio", optics.illuminanceRatio, [1000, 2000]],
  [
    "longestCoveringZoomMm",
    (w, h, d) => optics.longestCoveringZoomMm({ widthMm: w ?? 0, heightMm: h ?? 0 }, d ?? 0),
    [360, 240, 1000],
  ],
  [
    "guideNumberAtZoom",
    (z, zoomMm, gn) => optics.guideNumberAtZoom([{ zoomMm: zoomMm ?? 0, guideNumberM: gn ?? 0 }], z ?? 0),
    [35, 35, 30],
  ],
  ["carryRatio", (m) => optics.carryRatio(m ?? 0, sensor, { keep: "ratio" }), [0.1]],
  ["formatRatio", (m) => optics.formatRatio(m ?? 0), [0.1]],
  ["nearestMarkedFNumber", (n) => optics.nearestMarkedFNumber(n ?? 0), [8]],
  ["workingDistance", (u) => optics.workingDistance(u ?? 0, 60), [1100]],
  ["perspectiveChange", (a, b) => optics.perspectiveChange(a ?? 0, b ?? 0, 100), [1000, 500]],
  [
    "magnificationToFit",
    (w, h) => optics.magnificationToFit(sensor, { widthMm: w ?? 0, heightMm: h ?? 0 }, 0.1),
    [360, 240],
  ],
  ["balanceForDepth", (T) => optics.balanceForDepth(balance, T ?? 0), [30]],
  ["focalInForceMm", (D, m) => optics.focalInForceMm(D ?? 0, m ?? 0, 0), [400, 1]],
  ["objectToImageMm", (f, m) => optics.objectToImageMm(f ?? 0, m ?? 0, 0), [100, 0.1]],
  [
    "magnificationsFromObjectToImage",
    (f, D) => optics.magnificationsFromObjectToImage(f ?? 0, D ?? 0, 0),
    [100, 450],
  ],
];

const refuses = (call: () => unknown, received: RegExp | string, what: string): void => {
  assert.throws(
    call,
    (thrown) =>
      thrown instanceof SamescaleError &&
      thrown.code === "OPTICS_OUT_OF_RANGE" &&
      /^Expected .+, received /.test(thrown.message) &&
      (typeof received === "string" ? thrown.message.includes(received) : received.test(thrown.message)) &&
      thrown.help !== "",
    what,
  );
};

for (const [name, call, right] of CALLS) {
  test(`${name} refuses NaN, the infinities, 0 and less for each of its numbers, with expected and received`, () => {
    assert.doesNotThrow(() => call(...right));
    for (const [position] of right.entries()) {
      for (const wrong of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -1]) {
        const spoilt = right.map((value, i) => (i === position ? wrong : value));
        refuses(() => call(...spoilt), /received/, `${name}(${spoilt.join(", ")})`);
      }
    }
  });
}

test("depth of field and balance refuse each field of their setup by its name", () => {
  for (const field of ["focalMm", "magnification", "fNumber", "cocMm", "pupilRatio"] as const) {
    for (const wrong of [Number.NaN, Number.POSITIVE_INFINITY, 0, -1]) {
      refuses(
        () => optics.depthOfField({ ...depth, [field]: wrong }),
        `${field} above 0, received ${wrong}`,
        field,
      );
      if (field !== "fNumber") {
        const spoilt = { ...balance, [field]: wrong };
        refuses(() => optics.balanceForDepth(spoilt, 30), `${field} above 0, received ${wrong}`, field);
        refuses(() => optics.greatestSharpDepth(spoilt), `${field} above 0, received ${wrong}`, field);
      }
    }
  }
});

test("distances from which no image forms are refused, with the limit", () => {
  refuses(
    () => optics.magnificationFromObjectDistance(100, 100),
    "focalMm, which is 100 here, received 100",
    "front focus",
  );
  refuses(
    () => optics.imageFromObjectDistanceMm(100, 80),
    "focalMm, which is 100 here, received 80",
    "inside",
  );
  refuses(() => optics.magnificationFromImageDistance(100, 90), "received -10", "short of infinity");
  refuses(
    () => optics.magnificationsFromObjectToImage(100, 399, 0),
    "= 400 or more, received 399",
    "below 4f",
  );
  refuses(() => optics.objectToImageMm(100, 1, -400), "received -400", "hiatus eats all");
  refuses(() => optics.scaleAgainstPlaneBehind(500, -500), "received -500", "at the camera");
  refuses(() => optics.magnificationToFit(sensor, sensor, 1), "1 - margin above 0", "no room");
  refuses(() => optics.magnificationToFit(sensor, sensor, -0.1), "margin of 0 or more", "negative margin");
  refuses(() => optics.effectiveFNumber(8, -0.1, 1), "magnification of 0 or more, received -0.1", "negative");
});
