import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import {
  closeUpDepthOfField,
  depthOfField,
  exactDepthOfField,
  hyperfocalMm,
  magnificationFromObjectDistance,
  objectDistanceMm,
  objectToEntrancePupilMm,
} from "../src/index.ts";
import { cocMm, depthSetup, fNumber, focalMm, magnification, near, pupilRatio } from "./arbitraries.ts";
import { limitsBySearch } from "./twins/depth-by-image-side.ts";

const more = fc.double({ min: 1.001, max: 3, noNaN: true });

test("exact limits agree with a search on the image side, for pupil ratios of 0.3 to 3", () => {
  let infinite = 0;
  fc.assert(
    fc.property(depthSetup, (setup) => {
      const exact = exactDepthOfField(setup);
      const q = (setup.fNumber * setup.cocMm) / (setup.focalMm * setup.magnification);
      // At the hyperfocal distance itself "very far" cannot be told from infinity by a search.
      fc.pre(Math.abs(q - 1) > 1e-3);
      const twin = limitsBySearch(setup, setup.fNumber, setup.cocMm);
      // In front of the front focal point nothing is imaged, and the search has to stop there.
      if ((exact.nearMm ?? 0) > setup.focalMm * 1.001) assert.ok(near(exact.nearMm ?? 0, twin.nearMm, 1e-6));
      if (exact.farMm === Number.POSITIVE_INFINITY) infinite++;
      assert.ok(near(exact.farMm ?? 0, twin.farMm, 1e-4));
    }),
  );
  assert.ok(infinite > 0, "the sample held depths that reach infinity");
});

test("for a symmetric lens the limits are the textbook's s(H - f)/(H + s - 2f) and s(H - f)/(H - s)", () => {
  fc.assert(
    fc.property(depthSetup, (setup) => {
      const { focalMm: f, fNumber: N, cocMm: c } = setup;
      const s = objectDistanceMm(f, setup.magnification);
      const H = hyperfocalMm(f, N, c);
      fc.pre(Math.abs(s / H - 1) > 1e-6);
      const exact = exactDepthOfField({ ...setup, pupilRatio: 1 });
      const farMm = s < H ? (s * (H - f)) / (H - s) : Number.POSITIVE_INFINITY;
      return near(exact.nearMm ?? 0, (s * (H - f)) / (H + s - 2 * f)) && near(exact.farMm ?? 0, farMm, 1e-6);
    }),
  );
});

test("the depth reaches infinity exactly from the hyperfocal distance on, whatever the pupils, and starts at half of it", () => {
  fc.assert(
    fc.property(focalMm, fNumber, cocMm, pupilRatio, (f, N, c, P) => {
      const H = hyperfocalMm(f, N, c);
      const at = (distanceMm: number) => {
        const m = magnificationFromObjectDistance(f, distanceMm);
        return exactDepthOfField({ focalMm: f, magnification: m, fNumber: N, cocMm: c, pupilRatio: P });
      };
      const beyond = at(f + (H - f) * 1.000001);
      const before = at(f + (H - f) * 0.999999);
      assert.equal(beyond.farMm, Number.POSITIVE_INFINITY);
      assert.ok(Number.isFinite(before.farMm ?? Number.NaN));
      const m = magnificationFromObjectDistance(f, H);
      // Half of the distance to the entrance pupil; for P = 1 that is half of H.
      assert.ok(near(before.inFrontMm, objectToEntrancePupilMm(f, m, P) / 2, 1e-4));
    }),
  );
});

test("the close-up form falls short by q squared of the total, and by no more than 1 % where q is below a tenth", () => {
  fc.assert(
    fc.property(depthSetup, (setup) => {
      const exact = exactDepthOfField(setup);
      const closeUp = closeUpDepthOfField(setup);
      const short = exact.closeUpFormShortBy ?? Number.NaN;
      if (exact.totalMm === Number.POSITIVE_INFINITY) return short === 1;
      const q = (setup.fNumber * setup.cocMm) / (setup.focalMm * setup.magnification);
      fc.pre(q < 0.99);
      return (
        near(closeUp.totalMm, exact.totalMm * (1 - short), 1e-6) &&
        (q >= 0.1 || closeUp.totalMm >= 0.99 * exact.totalMm)
      );
    }),
  );
});

test("at clinical close-ups (100 mm, f/11 to f/22, 1:4 to 1:1) the two forms agree to a thousandth", () => {
  const range = fc.record({
    m: fc.double({ min: 0.25, max: 1, noNaN: true }),
    N: fc.double({ min: 11, max: 22, noNaN: true }),
  });
  fc.assert(
    fc.property(range, ({ m, N }) => {
      const setup = { focalMm: 100, magnification: m, fNumber: N, cocMm: 0.03, pupilRatio: 1 };
      return near(closeUpDepthOfField(setup).totalMm, exactDepthOfField(setup).totalMm, 1e-3);
    }),
  );
});

test("the switch: exact with a focal length, close-up form without, each saying which it was and why", () => {
  const setup = { magnification: 0.1, fNumber: 11, cocMm: 0.03, pupilRatio: 1 };
  const known = depthOfField({ ...setup, focalMm: 100 });
  assert.equal(known.form, "exact");
  assert.match(known.why, /focal length is known/);
  assert.ok(Math.abs(known.totalMm - 72.679) < 0.0005, "the worked value of the trade notes (computed)");
  const unknown = depthOfField({ ...setup, focalMm: null });
  assert.equal(unknown.form, "close-up");
  assert.match(unknown.why, /focal length is not known/);
  assert.ok(Math.abs(unknown.totalMm - 72.6) < 1e-9);
  assert.deepEqual([unknown.nearMm, unknown.farMm, unknown.closeUpFormShortBy], [null, null, null]);
});

test("the reason for the switch: an engraved focal length that is too long still beats the close-up form", () => {
  fc.assert(
    fc.property(depthSetup, more, (setup, tooLong) => {
      const truth = exactDepthOfField(setup).totalMm;
      const engraved = depthOfField({ ...setup, focalMm: setup.focalMm * tooLong }).totalMm;
      const closeUp = closeUpDepthOfField(setup).totalMm;
      return closeUp <= engraved && engraved <= truth;
    }),
  );
});

test("depth grows with f-number and circle of confusion and shrinks with the ratio", () => {
  fc.assert(
    fc.property(depthSetup, more, (setup, by) => {
      const { totalMm, inFrontMm } = exactDepthOfField(setup);
      fc.pre(totalMm !== Number.POSITIVE_INFINITY);
      const stopped = exactDepthOfField({ ...setup, fNumber: setup.fNumber * by });
      const looser = exactDepthOfField({ ...setup, cocMm: setup.cocMm * by });
      const nearer = exactDepthOfField({ ...setup, magnification: setup.magnification * by });
      return (
        stopped.totalMm > totalMm &&
        stopped.inFrontMm > inFrontMm &&
        looser.totalMm > totalMm &&
        nearer.totalMm < totalMm
      );
    }),
  );
});

test("pupil ratio: the depth is (m + P)/(P(m + 1)) times the symmetric lens's, more below 1 and less above", () => {
  fc.assert(
    fc.property(magnification, fNumber, cocMm, pupilRatio, (m, N, c, P) => {
      const depth = (ratio: number) =>
        depthOfField({ focalMm: null, magnification: m, fNumber: N, cocMm: c, pupilRatio: ratio }).totalMm;
      return near(depth(P) / depth(1), (m + P) / (P * (m + 1)));
    }),
  );
});
