import assert from "node:assert/strict";
import { test } from "node:test";
import fc from "fast-check";
import { airyDiscMm, balanceForDepth, greatestSharpDepth } from "../src/index.ts";
import { cocMm, focalMm, lens, magnification, near, pupilRatio } from "./arbitraries.ts";
import { blurAtEndsMm, leastBlurFNumber } from "./twins/balance-by-search.ts";

const GREEN = 550;
const setup = fc.record({ focalMm, magnification, pupilRatio, cocMm, wavelengthNm: fc.constant(GREEN) });
const depthMm = fc.double({ min: 0.5, max: 200, noNaN: true });

test("the balanced f-number is where a search finds the least blur, and the blur is that of the search", () => {
  const views = [
    { focalMm: 100, magnification: 0.1, pupilRatio: 1, depthMm: 60 },
    { focalMm: 105, magnification: 0.5, pupilRatio: 0.6, depthMm: 5 },
    { focalMm: 60, magnification: 0.04, pupilRatio: 1.4, depthMm: 300 },
    { focalMm: 35, magnification: 0.02, pupilRatio: 2, depthMm: 2500 },
  ];
  for (const view of views) {
    const best = balanceForDepth({ ...view, cocMm: 0.03, wavelengthNm: GREEN }, view.depthMm);
    // Near a minimum the blur hardly changes, so the search knows the place only to about 1e-4.
    assert.ok(near(best.fNumber, leastBlurFNumber(view, view.depthMm, GREEN), 1e-3), JSON.stringify(best));
    assert.ok(near(best.blurMm, blurAtEndsMm(view, best.fNumber, view.depthMm, GREEN), 1e-6));
  }
});

test("close up the balanced effective f-number is m sqrt(T/(2k)), whatever the lens", () => {
  fc.assert(
    fc.property(lens, (view) => {
      // A depth of a thousandth of the distance: the close-up limit.
      const depth = (view.focalMm / view.magnification) * 1e-3;
      const best = balanceForDepth({ ...view, cocMm: 0.03, wavelengthNm: GREEN }, depth);
      const closeUp = view.magnification * Math.sqrt(depth / (2 * airyDiscMm(1, GREEN)));
      return near(best.effectiveFNumber, closeUp, 1e-5);
    }),
  );
});

test("at both ends of the sharp range the whole blur is the circle of confusion, and the best lies between", () => {
  fc.assert(
    fc.property(setup, depthMm, (view, depth) => {
      const best = balanceForDepth(view, depth);
      if (best.sharpRange === null) return best.blurMm > view.cocMm * (1 - 1e-9);
      const { fromFNumber, toFNumber } = best.sharpRange;
      // Blur at N from the one at the best: each half of its square goes with N/best squared, up or down.
      const blurAt = (N: number) =>
        best.blurMm * Math.sqrt(((N / best.fNumber) ** 2 + (best.fNumber / N) ** 2) / 2);
      return (
        best.blurMm <= view.cocMm * (1 + 1e-9) &&
        near(blurAt(fromFNumber), view.cocMm, 1e-6) &&
        near(blurAt(toFNumber), view.cocMm, 1e-6) &&
        fromFNumber <= best.fNumber * (1 + 1e-9) &&
        toFNumber >= best.fNumber * (1 - 1e-9)
      );
    }),
  );
});

test("the greatest sharp depth is just sharp: its own balance, a little less leaves room, a little more has none", () => {
  fc.assert(
    fc.property(setup, (view) => {
      const greatest = greatestSharpDepth(view);
      assert.ok(near(greatest.blurMm, view.cocMm));
      fc.pre(greatest.depthMm < 1e6);
      assert.ok(near(balanceForDepth(view, greatest.depthMm).fNumber, greatest.fNumber, 1e-8));
      assert.notEqual(balanceForDepth(view, greatest.depthMm * 0.999).sharpRange, null);
      assert.equal(balanceForDepth(view, greatest.depthMm * 1.001).sharpRange, null);
    }),
  );
});

test("the greatest sharp depth close up is c^2/(k m^2): 0.67 mm at 1:1 and 67 mm at 1:10 for 0.030 mm", () => {
  const at = (m: number) =>
    greatestSharpDepth({ focalMm: 100, magnification: m, pupilRatio: 1, cocMm: 0.03, wavelengthNm: GREEN })
      .depthMm;
  // 0.0009/0.001342 = 0.670641, by hand; at 1:10 the exact form adds 0.1 %.
  assert.ok(near(at(1), 0.670641, 1e-4));
  assert.ok(near(at(0.1), 67.0641, 2e-3));
});

test("a deeper subject asks for a smaller aperture and leaves more blur", () => {
  fc.assert(
    fc.property(setup, depthMm, (view, depth) => {
      const [shallow, deep] = [balanceForDepth(view, depth), balanceForDepth(view, depth * 1.5)];
      return deep.fNumber > shallow.fNumber && deep.blurMm > shallow.blurMm;
    }),
  );
});
