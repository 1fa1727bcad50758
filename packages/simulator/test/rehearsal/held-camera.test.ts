import assert from "node:assert/strict";
import { test } from "node:test";
import {
  cameraOf,
  HELD_WELL,
  heldTruth,
  openDarkroom,
  REHEARSAL_RANGES,
  REHEARSAL_TASKS,
  resultOf,
  sceneOf,
  sceneTruth,
} from "../../src/index.ts";

test("a lens that is left as set shows larger when it comes nearer, and unsharp", () => {
  const set = heldTruth(HELD_WELL);
  // 100 mm at 1:4 is sharp at f(1 + 1/m) = 500 mm.
  assert.ok(Math.abs(set.magnification - 0.25) < 1e-9);
  assert.ok(set.blurMm < 1e-9);
  // v = 125 mm stays: at 450 mm the ratio is 125/450.
  const nearer = heldTruth({ ...HELD_WELL, distanceMm: 450 });
  assert.ok(Math.abs(nearer.magnification - 125 / 450) < 1e-6, String(nearer.magnification));
  // The cone of the pupil f/11 over the sharp plane: A v |1/u - 1/uf|.
  assert.ok(Math.abs(nearer.blurMm - (100 / 11) * 125 * (1 / 450 - 1 / 500)) < 1e-6, String(nearer.blurMm));
});

test("the truth that is told without painting is that of the scene", () => {
  const held = { ...HELD_WELL, leanDeg: -9, swingDeg: 14, rollDeg: 5, distanceMm: 520 };
  const truth = heldTruth(held);
  const scene = sceneTruth(sceneOf(held), cameraOf(held, 480));
  assert.ok(Math.abs(scene.surface.leanDeg - truth.leanDeg) < 1e-6);
  assert.ok(Math.abs(scene.camera.objectDistanceMm - truth.distanceMm) < 1e-6);
});

test("every corner of every range can be held", () => {
  for (const focalMm of [60, 100, 180] as const) {
    for (const [name, { min, max }] of Object.entries(REHEARSAL_RANGES)) {
      for (const value of [min, max]) heldTruth({ ...HELD_WELL, focalMm, [name]: value });
    }
  }
});

test("no task is done as it is found, and each can be", () => {
  const good: Record<string, object> = {
    glare: { lampElevationDeg: 30 },
    baseline: { rollDeg: 6, aimXMm: 6, aimYMm: -4 },
  };
  for (const task of REHEARSAL_TASKS) {
    assert.equal(resultOf(task, task.start, heldTruth(task.start)).isDone, false, task.key);
    const held = { ...HELD_WELL, ...(task.key === "glare" ? task.start : {}), ...good[task.key] };
    assert.equal(resultOf(task, held, heldTruth(held)).isDone, true, task.key);
  }
});

test("pictures are made beside the program; what is not wanted any more is left out; the same hand, the same bytes", async () => {
  const darkroom = openDarkroom();
  try {
    const wanted = new AbortController().signal;
    const stale = new AbortController();
    stale.abort();
    const [first, left, again] = await Promise.all([
      darkroom.develop(HELD_WELL, 96, "quick", wanted),
      darkroom.develop({ ...HELD_WELL, leanDeg: 20 }, 96, "quick", stale.signal),
      darkroom.develop(HELD_WELL, 96, "quick", wanted),
    ]);
    assert.equal(left, null);
    assert.deepEqual(Buffer.from(first!), Buffer.from(again!));
    assert.equal(first![0], 0xff, "a JPEG");
  } finally {
    await darkroom.close();
  }
});
