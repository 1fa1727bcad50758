import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import {
  extensionMm,
  focalInForceMm,
  imageDistanceMm,
  imageFromObjectDistanceMm,
  magnificationFromDistances,
  magnificationFromExtension,
  magnificationFromImageDistance,
  magnificationFromObjectDistance,
  magnificationsFromObjectToImage,
  moveBackMm,
  objectDistanceMm,
  objectFromImageDistanceMm,
  objectToImageMm,
  workingDistance,
} from "../src/index.ts";
import { focalMm, magnification, near } from "./arbitraries.ts";

const hiatusMm = fc.double({ min: -9, max: 60, noNaN: true });

test("magnification comes back from every distance that it gives", () => {
  fc.assert(
    fc.property(focalMm, magnification, (f, m) => {
      const u = objectDistanceMm(f, m);
      const v = imageDistanceMm(f, m);
      // v - f loses digits when m is small: 1e-9 leaves room for that at m = 0.002.
      return (
        near(magnificationFromObjectDistance(f, u), m) &&
        near(magnificationFromImageDistance(f, v), m) &&
        near(magnificationFromDistances(v, u), m) &&
        near(magnificationFromExtension(f, extensionMm(f, m)), m)
      );
    }),
  );
});

test("object and image distance lead to each other, there and back", () => {
  fc.assert(
    fc.property(focalMm, magnification, (f, m) => {
      const u = objectDistanceMm(f, m);
      const v = imageDistanceMm(f, m);
      return (
        near(imageFromObjectDistanceMm(f, u), v) &&
        near(objectFromImageDistanceMm(f, v), u, 1e-7) &&
        near(1 / u + 1 / v, 1 / f)
      );
    }),
  );
});

test("object to image distance gives back the ratio and its reciprocal, and the focal length in force", () => {
  fc.assert(
    fc.property(focalMm, magnification, hiatusMm, (f, m, i) => {
      const distance = objectToImageMm(f, m, i);
      const { smaller, larger } = magnificationsFromObjectToImage(f, distance, i);
      // Near 1:1 the distance hardly changes with the ratio, so half of the digits are lost there.
      return (
        near(smaller, Math.min(m, 1 / m), 1e-6) &&
        near(larger, Math.max(m, 1 / m), 1e-6) &&
        near(focalInForceMm(distance, m, i), f)
      );
    }),
  );
});

test("at 1:1 both distances are twice the focal length and the subject is as near to the sensor as it can be", () => {
  fc.assert(
    fc.property(focalMm, magnification, hiatusMm, (f, m, i) => {
      const shortest = objectToImageMm(f, 1, i);
      return (
        objectDistanceMm(f, 1) === 2 * f &&
        imageDistanceMm(f, 1) === 2 * f &&
        near(shortest, 4 * f + i) &&
        objectToImageMm(f, m, i) >= shortest * (1 - 1e-12)
      );
    }),
  );
});

test("a larger ratio means a nearer subject and a longer draw; a longer lens stands further back", () => {
  fc.assert(
    fc.property(focalMm, magnification, fc.double({ min: 1.001, max: 3, noNaN: true }), (f, m, more) => {
      return (
        objectDistanceMm(f, m * more) < objectDistanceMm(f, m) &&
        imageDistanceMm(f, m * more) > imageDistanceMm(f, m) &&
        objectDistanceMm(f * more, m) > objectDistanceMm(f, m)
      );
    }),
  );
});

test("towards infinity the image distance becomes the focal length", () => {
  assert.ok(near(imageDistanceMm(100, 1e-9), 100, 1e-8));
  assert.equal(magnificationFromImageDistance(100, 100), 0);
});

test("the move back leads from the distance of the ratio read to that of the ratio planned", () => {
  fc.assert(
    fc.property(focalMm, magnification, magnification, (f, read, planned) => {
      const reached = objectDistanceMm(f, read) + moveBackMm(f, read, planned);
      return near(reached, objectDistanceMm(f, planned), 1e-8);
    }),
  );
  assert.ok(moveBackMm(100, 0.125, 0.1) > 0, "too large in the picture: back");
  assert.ok(moveBackMm(100, 0.08, 0.1) < 0, "too small in the picture: nearer");
});

test("free working distance: known, not measured, and contradictory", () => {
  assert.deepEqual(workingDistance(1100, 60), { known: true, distanceMm: 1040 });
  assert.deepEqual(workingDistance(300, -20), { known: true, distanceMm: 320 });
  const unmeasured = workingDistance(1100, null);
  assert.ok(!unmeasured.known && /has not been measured/.test(unmeasured.reason));
  const inside = workingDistance(200, 230);
  assert.ok(!inside.known && /30 mm past the subject/.test(inside.reason));
});
