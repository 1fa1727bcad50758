import assert from "node:assert/strict";
import { describe, test } from "node:test";
import {
  type Draw,
  monteCarlo,
  normal,
  propagate,
  rectangular,
  seededRandom,
  standardFromHalfWidth,
  standardFromTriangle,
  triangular,
} from "../../src/index.ts";

const draws = 200_000;
const sum = (values: readonly number[]): number => values.reduce((s, v) => s + v, 0);

describe("monteCarlo against published examples", () => {
  // JCGM 101:2008, 9.2: sum of four inputs of standard deviation 1 (from memory). Printed to two decimals; 200,000 draws
  // add about 0.01.
  const additive = (draw: Draw) =>
    monteCarlo({
      f: sum,
      inputs: ["a", "b", "c", "d"].map((name) => ({ name, draw })),
      draws,
      random: seededRandom(101),
    });
  for (const [name, draw, end] of [
    ["9.2.2, four normal inputs: u 2.0, interval ± 3.92", normal(0, 1), 3.92],
    ["9.2.3, four rectangular inputs: u 2.0, interval ± 3.88", rectangular(0, Math.sqrt(3)), 3.88],
  ] as const) {
    test(name, () => {
      const { mean, u, interval95 } = additive(draw);
      assert.ok(Math.abs(mean) < 0.015);
      assert.ok(Math.abs(u - 2) < 0.01, `${u}`);
      assert.ok(
        Math.abs(interval95[0] + end) < 0.03 && Math.abs(interval95[1] - end) < 0.03,
        `${interval95}`,
      );
    });
  }
});

describe("monteCarlo", () => {
  test("is honest where propagation is not: the length of a vector near nothing", () => {
    const inputs = [
      { name: "x", value: 0, u: 1, draw: normal(0, 1) },
      { name: "y", value: 0, u: 1, draw: normal(0, 1) },
    ];
    const f = ([x, y]: readonly number[]) => Math.hypot(x!, y!);
    assert.equal(propagate({ f, inputs }).u, 0);
    const drawn = monteCarlo({ f, inputs, draws, random: seededRandom(5) });
    // Rayleigh: mean √(π/2), deviation √(2 - π/2), quantile √(-2 ln(1 - p)).
    assert.ok(Math.abs(drawn.mean - Math.sqrt(Math.PI / 2)) < 0.006);
    assert.ok(Math.abs(drawn.u - Math.sqrt(2 - Math.PI / 2)) < 0.005);
    assert.ok(Math.abs(drawn.interval95[1] - Math.sqrt(-2 * Math.log(0.025))) < 0.02);
  });

  test("keeps a small spread on a large value", () => {
    const { u } = monteCarlo({
      f: sum,
      inputs: [{ name: "a", draw: normal(1e9, 1e-3) }],
      draws: 20_000,
      random: seededRandom(6),
    });
    assert.ok(Math.abs(u / 1e-3 - 1) < 0.02, `${u}`);
  });

  test("the same seed gives the same answer", () => {
    const run = () =>
      monteCarlo({
        f: sum,
        inputs: [{ name: "a", draw: normal(0, 1) }],
        draws: 1000,
        random: seededRandom(7),
      });
    assert.deepEqual(run(), run());
  });

  test("refuses too few draws and draws that give no number", () => {
    const inputs = [{ name: "a", draw: normal(0, 1) }];
    const code = { code: "UNCERTAINTY_INPUT_INVALID" };
    assert.throws(() => monteCarlo({ f: sum, inputs, draws: 99, random: seededRandom(1) }), code);
    assert.throws(() => monteCarlo({ f: sum, inputs, draws: Number.NaN, random: seededRandom(1) }), code);
    assert.throws(
      () => monteCarlo({ f: ([a]) => Math.log(a!), inputs, draws: 500, random: seededRandom(1) }),
      code,
    );
  });
});

describe("draws have the mean and deviation that they are named for", () => {
  for (const [name, draw, mean, u] of [
    ["normal", normal(3, 2), 3, 2],
    ["rectangular", rectangular(-5, 0.6), -5, standardFromHalfWidth(0.6)],
    ["triangular", triangular(10, 0.6), 10, standardFromTriangle(0.6)],
  ] as const) {
    test(name, () => {
      const result = monteCarlo({ f: sum, inputs: [{ name, draw }], draws, random: seededRandom(8) });
      assert.ok(Math.abs(result.mean - mean) < 0.01 * u);
      assert.ok(Math.abs(result.u / u - 1) < 0.01);
    });
  }
  test("rectangular and triangular stay within their half-width", () => {
    const random = seededRandom(9);
    for (const draw of [rectangular(1, 0.25), triangular(1, 0.25)]) {
      for (let i = 0; i < 5000; i++) assert.ok(Math.abs(draw(random) - 1) <= 0.25);
    }
  });
  test("normal is finite at both ends of what a generator may give", () => {
    assert.ok(Number.isFinite(normal(0, 1)(() => 0)));
    assert.ok(Number.isFinite(normal(0, 1)(() => 1 - 2 ** -53)));
  });
});

describe("seededRandom", () => {
  test("gives numbers in [0, 1), the same for the same seed, others for its neighbour", () => {
    const [one, again, neighbour] = [seededRandom(42), seededRandom(42), seededRandom(43)];
    let same = 0;
    for (let i = 0; i < 1000; i++) {
      const v = one();
      assert.ok(v >= 0 && v < 1);
      assert.equal(v, again());
      if (v === neighbour()) same += 1;
    }
    assert.equal(same, 0);
  });

  test("fills 100 bins evenly, in pairs too (chi-squared, neighbouring seeds included)", () => {
    for (const seed of [0, 1, 2, 2 ** 31, 2 ** 32 - 1]) {
      const random = seededRandom(seed);
      const n = 100_000;
      const bins = new Array<number>(100).fill(0);
      for (let i = 0; i < n; i++) bins[Math.floor(10 * random()) * 10 + Math.floor(10 * random())]! += 1;
      const chi = bins.reduce((s, count) => s + (count - n / 100) ** 2 / (n / 100), 0);
      // 99 degrees of freedom: 99 ± 14; beyond 5 deviations in 1 of a million.
      assert.ok(chi > 40 && chi < 170, `seed ${seed}: ${chi}`);
    }
  });

  test("low bits are as random as high ones", () => {
    const random = seededRandom(17);
    let ones = 0;
    for (let i = 0; i < 100_000; i++) ones += (random() * 2 ** 53) % 2;
    // 50,000 ± 158; five deviations.
    assert.ok(Math.abs(ones - 50_000) < 800, `${ones}`);
  });

  test("first numbers of consecutive seeds do not march in step", () => {
    const firsts = Array.from({ length: 4000 }, (_, seed) => seededRandom(seed)());
    const mean = firsts.reduce((s, v) => s + v, 0) / firsts.length;
    const lag = firsts.slice(1).reduce((s, v, i) => s + (v - mean) * (firsts[i]! - mean), 0) / firsts.length;
    // Mean 0.5 ± 0.0046, covariance of neighbours 0 ± 0.0013.
    assert.ok(Math.abs(mean - 0.5) < 0.02 && Math.abs(lag) < 0.006, `${mean} ${lag}`);
  });
});
