import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import type { OutlineAnswer } from "@samescale/picture";
import sharp from "sharp";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-outline-"));
const photo = join(folder, "plain.png");
const steps = join(folder, "steps.json");
after(() => rmSync(folder, { recursive: true }));
before(async () => {
  const create = { width: 200, height: 150, channels: 3, background: "#c49c80" } as const;
  await sharp({ create }).png().toFile(photo);
});

const outline = (...args: string[]) =>
  spawnSync(process.execPath, [MAIN, "outline", photo, ...args], { encoding: "utf8" });

test("the rim, the brush and the eraser are taken from the command line in that order, and are in the recipe", () => {
  const rim = ["--rim", "40,40", "--rim", "120,40", "--rim", "120,110", "--rim", "40,110"];
  const { status, stdout, stderr } = outline(...rim, "--erase", "80,75,12", "--brush", "170,75,10", "--json");
  assert.equal(status, 0, stderr);
  const { regions, recipe } = JSON.parse(stdout) as OutlineAnswer;
  assert.deepEqual(
    regions.map(({ holes }) => holes.length),
    [1, 0],
  );
  const tools = (recipe!.parameters.steps as readonly { do: string }[]).map((step) => step.do);
  assert.deepEqual(tools, ["rim", "brush", "brush"]);
});

test("steps from a file; a hostile one is an error with its code; beside other points it is a bad argument", () => {
  writeFileSync(steps, JSON.stringify({ steps: [{ do: "brush", points: [[90, 70]], radiusPx: 20 }] }));
  const good = outline("--steps", steps);
  assert.equal(good.status, 0, good.stderr);
  assert.match(good.stdout, /region 1: 40 x 40 px about 90,70/);
  writeFileSync(steps, "[".repeat(10_000));
  const bad = outline("--steps", steps, "--json");
  assert.equal(bad.status, 1);
  assert.equal(JSON.parse(bad.stdout).error.code, "OUTLINE_STEPS_NOT_UNDERSTOOD");
  assert.equal(outline("--steps", steps, "--inside", "5,5").status, 2);
});
