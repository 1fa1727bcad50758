import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

const MAIN = fileURLToPath(new URL("../src/main.ts", import.meta.url));

function optics(...args: string[]) {
  return spawnSync(process.execPath, [MAIN, "optics", ...args], { encoding: "utf8" });
}

function answer(...args: string[]): Record<string, unknown> {
  const { status, stdout, stderr } = optics(...args, "--json");
  assert.equal(status, 0, stderr);
  assert.equal(stderr, "");
  assert.match(stdout, /^\{.*\}\n$/, "one object on one line");
  return JSON.parse(stdout) as Record<string, unknown>;
}

/** The fields that the contract promises, in its order; those that may be null carry a dash. */
const CONTRACT = [
  "magnification",
  "fieldMm",
  "objectDistanceMm",
  "imageDistanceMm",
  "workingDistanceMm -",
  "effectiveFNumber",
  "exposureFactorStops",
  "depthOfFieldMm",
  "airyDiskMm",
  "bestFNumber",
  "flashDistanceMm -",
];

test("the JSON holds every field of the contract, null only where it may be", () => {
  for (const args of [
    ["--focal-mm", "100", "--ratio", "1:10"],
    [
      "--focal-mm",
      "60",
      "--ratio",
      "2:1",
      "--f-number",
      "8",
      "--sensor",
      "23.5x15.6",
      "--pupil-ratio",
      "0.7",
    ],
  ]) {
    const line = answer(...args);
    for (const entry of CONTRACT) {
      const [name = "", nullable] = entry.split(" ");
      assert.ok(name in line, name);
      assert.ok(nullable || line[name] !== null, `${name} is null`);
    }
    assert.deepEqual(
      Object.keys(line).slice(0, CONTRACT.length),
      CONTRACT.map((entry) => entry.split(" ")[0]),
    );
    assert.deepEqual(Object.keys(line.fieldMm as object), ["width", "height"]);
    assert.deepEqual(Object.keys(line.depthOfFieldMm as object).slice(0, 3), ["near", "far", "total"]);
    assert.ok(Array.isArray(line.warnings));
  }
});

test("100 mm at 1:10, f/11: the worked figures of the trade notes (computed; the field is published)", () => {
  const line = answer("--focal-mm", "100", "--ratio", "1:10", "--f-number", "11", "--coc-mm", "0.03");
  assert.equal(line.magnification, 0.1);
  assert.deepEqual(line.fieldMm, { width: 360, height: 240 });
  assert.equal(line.objectDistanceMm, 1100);
  assert.equal(line.imageDistanceMm, 110);
  const depth = line.depthOfFieldMm as Record<string, number>;
  for (const [name, worked] of [
    ["near", 1064.86],
    ["far", 1137.539],
    ["total", 72.679],
  ] as const) {
    assert.ok(Math.abs((depth[name] ?? 0) - worked) <= 0.0005, `${name} ${depth[name]}`);
  }
  assert.equal(line.depthOfFieldForm, "exact");
});

test("working distance and flash distance are numbers as soon as what they need is stated", () => {
  const line = answer(
    ...[
      "--focal-mm",
      "100",
      "--ratio",
      "1:4",
      "--f-number",
      "19.2",
      "--front-mm",
      "-20",
      "--hiatus-mm",
      "-5",
    ],
    ...["--guide-number", "12", "--iso", "100"],
  );
  assert.equal(line.workingDistanceMm, 520);
  assert.equal(line.objectToImageMm, 620);
  // GN 12 at 0.5 m and 1:4 asks for f/19.2 (trade notes, computed).
  assert.ok(Math.abs((line.flashDistanceMm as number) - 500) < 1e-9);
});

test("a depth that reaches infinity is null with a flag, as JSON has no infinity", () => {
  const line = answer("--focal-mm", "25", "--ratio", "1:119", "--f-number", "8", "--coc-mm", "0.03");
  const depth = line.depthOfFieldMm as Record<string, unknown>;
  assert.deepEqual([depth.far, depth.total, depth.infinite], [null, null, true]);
});

test("a smaller sensor brings both ways of carrying the ratio, each saying which it is", () => {
  const line = answer("--focal-mm", "60", "--ratio", "1:10", "--sensor", "23.5x15.6");
  const carried = line.carriedFrom36x24 as { keeps: string; magnification: number; says: string }[];
  assert.deepEqual(
    carried.map((one) => one.keeps),
    ["field", "ratio"],
  );
  assert.ok(Math.abs(1 / (carried[0]?.magnification ?? 0) - 15.319) <= 0.0005);
  assert.equal(carried[1]?.magnification, 0.1);
});

test("for a person: units on every length, and the unknown said, not guessed", () => {
  const { status, stdout } = optics("--focal-mm", "100", "--ratio", "1:10");
  assert.equal(status, 0);
  assert.match(stdout, /^1:10, 100 mm lens, sensor 36 × 24 mm$/m);
  assert.match(stdout, /Field +360 × 240 mm/);
  assert.match(stdout, /Front of lens to subject +not known/);
  assert.doesNotMatch(stdout, /NaN|Infinity|undefined|null/);
});

const RIGHT: Readonly<Record<string, string>> = { "--focal-mm": "100", "--ratio": "1:10" };

test("bad arguments end with exit 2, nothing on standard output, and name option, expected and received", () => {
  const wrong: readonly (readonly [option: string, typed: string])[] = [
    ...["NaN", "0", "-5", "Infinity", "", "1e3", "0x10", "ten"].map(
      (typed) => ["--focal-mm", typed] as const,
    ),
    ...["0:1", "1:0", "-1:4", "1:NaN", "10", "1:999999", ""].map((typed) => ["--ratio", typed] as const),
    ["--f-number", "0"],
    ["--sensor", "36"],
    ["--sensor", "0x24"],
    ["--pupil-ratio", "-1"],
    ["--coc-mm", "0"],
    ["--depth-mm", "-3"],
    ["--guide-number", "NaN"],
    ["--iso", "0"],
    ["--hiatus-mm", "Infinity"],
    ["--front-mm", "NaN"],
    ["--focusing", "somehow"],
    ["--f-number-shown", "both"],
  ];
  for (const [option, typed] of wrong) {
    const args = Object.entries({ ...RIGHT, [option]: typed }).flat();
    const { status, stdout, stderr } = optics(...args, "--json");
    const what = `${option} ${JSON.stringify(typed)}: ${stderr}`;
    assert.equal(status, 2, what);
    assert.equal(stdout, "", what);
    assert.ok(
      stderr.includes(option) && /expected/i.test(stderr) && stderr.includes(`received "${typed}"`),
      what,
    );
    assert.doesNotMatch(stderr, /\n +at /, "no stack trace");
  }
});

test("a missing or unknown option ends with exit 2", () => {
  for (const args of [
    ["--focal-mm", "100"],
    ["--ratio", "1:10"],
    ["--focal-mm"],
    ["--bogus", "1"],
    ["extra"],
  ]) {
    const { status, stdout } = optics(...args);
    assert.equal(status, 2, args.join(" "));
    assert.equal(stdout, "");
  }
});

test("figures that contradict each other are bad arguments too", () => {
  const { status, stderr } = optics("--focal-mm", "100", "--ratio", "1:1", "--hiatus-mm", "-500");
  assert.equal(status, 2);
  assert.match(stderr, /hiatusMm .* received -500/);
});
