import assert from "node:assert/strict";
import { test } from "node:test";
import { agreementOf, normal, type Repeat, repeatabilityOf, seededRandom } from "../../src/index.ts";

/**
 * Peak flow of 17 people by a large and a small meter, and the results printed with them: bias -2.1 (-22.0 to 17.8),
 * standard deviation 38.8, limits known to about 34.6 l/min. @source BlandAltman1986 (table and text, from memory)
 */
const LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
const SMALL = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];

test("limits of agreement: the worked example of peak flow meters", () => {
  const found = agreementOf(SMALL.map((small, i) => [small, LARGE[i]!] as const))!;
  assert.equal(found.pairs, 17);
  assert.equal(found.bias.value.toFixed(1), "-2.1");
  assert.equal(found.sd.toFixed(1), "38.8");
  assert.equal((found.bias.value - found.bias.u95).toFixed(1), "-22.0");
  assert.equal((found.bias.value + found.bias.u95).toFixed(1), "17.8");
  assert.ok(Math.abs(found.upper.u95 - 34.6) < 0.1, `${found.upper.u95}`);
  assert.ok(Math.abs(found.upper.value - found.lower.value - 2 * 1.96 * 38.8) < 0.2);
});

test("two pairs are too few for limits", () => {
  assert.equal(agreementOf([]), null);
  assert.equal(
    agreementOf([
      [1, 2],
      [2, 4],
    ]),
    null,
  );
});

test("within one person: half the mean square of paired differences (the identity for two repeats)", () => {
  const repeats = SMALL.flatMap((small, i): Repeat[] => [
    { thing: `${i}`, person: "a", value: small },
    { thing: `${i}`, person: "a", value: LARGE[i]! },
  ]);
  const halfSquares = SMALL.reduce((sum, s, i) => sum + (s - LARGE[i]!) ** 2, 0) / (2 * SMALL.length);
  const found = repeatabilityOf(repeats)!;
  assert.ok(Math.abs(found.withinPersonSd - Math.sqrt(halfSquares)) < 1e-9);
  assert.equal(found.withinDegreesOfFreedom, 17);
  assert.equal(found.betweenPersonSd, null);
  assert.ok(Math.abs(found.smallestChangeSamePerson - 1.96 * Math.SQRT2 * found.withinPersonSd) < 1e-9);
});

test("what was put in comes out: 400 things, four persons, twice each", () => {
  const random = seededRandom(11);
  const draw = (sd: number) => normal(0, sd)(random);
  const repeats: Repeat[] = [];
  for (let thing = 0; thing < 400; thing++) {
    const size = 100 + 50 * random();
    for (let person = 0; person < 4; person++) {
      const habit = draw(3);
      for (let i = 0; i < 2; i++)
        repeats.push({ thing: `${thing}`, person: `${person}`, value: size + habit + draw(2) });
    }
  }
  const found = repeatabilityOf(repeats)!;
  assert.ok(Math.abs(found.withinPersonSd / 2 - 1) < 0.05, `${found.withinPersonSd}`);
  assert.ok(Math.abs(found.betweenPersonSd! / 3 - 1) < 0.07, `${found.betweenPersonSd}`);
  assert.ok(found.smallestChangeAnyPerson! > found.smallestChangeSamePerson);
});

test("persons who agree better than chance differ by 0, not by the root of less than 0", () => {
  const repeats: Repeat[] = ["a", "b"].flatMap((person) =>
    [1, 3].map((value) => ({ thing: "one", person, value })),
  );
  assert.equal(repeatabilityOf(repeats)?.betweenPersonSd, 0);
});

test("nobody measured anything twice, or there is nothing", () => {
  assert.equal(repeatabilityOf([]), null);
  assert.equal(repeatabilityOf([{ thing: "one", person: "a", value: 4 }]), null);
});
