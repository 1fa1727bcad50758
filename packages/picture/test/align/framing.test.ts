import assert from "node:assert/strict";
import { test } from "node:test";
import { composeHomographies, invertHomography } from "@samescale/geometry";
import { type Camera, sceneTruth, standardCamera, standardScene } from "@samescale/simulator";
import { type FramedPicture, framingOf } from "../../src/align/framing.ts";
import type { ScaleFound } from "../../src/answers.ts";

/** The virtual camera is moved by known amounts; what the framing says must undo exactly that. */
const FLAT = standardScene();
const BASELINE = { widthPx: 1500, heightPx: 1000, focalMm: 100, magnification: 1 / 8 } as const;

const cameraOf = (moved: Partial<Camera>) => standardCamera({ ...BASELINE, ...moved });
const mmToPx = (camera: Camera) => sceneTruth(FLAT, camera).surface.homographyMmToPx;

/** What a perfect reading of a scale in that picture would say. */
function pictureOf(
  camera: Camera,
  knows: { scale?: boolean; plane?: boolean; lens?: boolean } = {},
): FramedPicture {
  const { widthPx, heightPx, focalMm, sensorMm, magnification } = camera;
  const pixelMm = sensorMm.width / widthPx;
  const pxPerMm = { value: magnification / pixelMm, u95: (0.002 * magnification) / pixelMm };
  const at = { x: widthPx / 2, y: heightPx / 2 };
  const scale: ScaleFound = {
    file: "made",
    widthPx,
    heightPx,
    found: true,
    scales: [
      { kind: "straight", unit: "mm", pxPerMm, at, axisDeg: 0, ticks: [], coverageMm: 60, residualPx: 0.1 },
    ],
    plane: knows.plane
      ? { homographyPxToMm: invertHomography(mmToPx(camera)), tiltDeg: { value: 0, u95: 1 } }
      : null,
    reproductionRatio: { value: magnification, u95: 0.002 * magnification },
    warnings: [],
    recipe: { step: "scale", version: 1, parameters: {} },
  };
  const lens = knows.lens ?? true;
  return {
    widthPx,
    heightPx,
    focalMm: lens ? focalMm : null,
    pixelMm: lens ? pixelMm : null,
    scale: (knows.scale ?? true) ? scale : null,
  };
}

function framing(before: Partial<Camera>, now: Partial<Camera>, knows: Parameters<typeof pictureOf>[1] = {}) {
  const [a, b] = [cameraOf(before), cameraOf(now)];
  const h = composeHomographies(mmToPx(a), invertHomography(mmToPx(b)));
  return framingOf(h, pictureOf(a, knows), pictureOf(b, { ...knows, plane: false }), true);
}

const near = (got: number | undefined, want: number, by: number) =>
  assert.ok(got !== undefined && Math.abs(got - want) <= by, `${got}, expected ${want}`);

test("the same framing is said to be the same", () => {
  const said = framing({}, {});
  assert.deepEqual([said.words, said.doNow], [[], []]);
  near(said.timesAsLarge, 1, 1e-9);
});

test("a camera 40 mm nearer, turned and aimed too far left says so, and how to undo it", () => {
  // u = f (1 + 1/m): 900 mm at 1:8 with 100 mm, so 1:7.6 is 40 mm nearer
  const said = framing({}, { magnification: 1 / 7.6, rollDeg: -6, targetMm: { x: -30, y: 0 } });
  near(said.nearerMm?.value, 40, 0.01);
  near(said.cameraTurnedDeg, 6, 0.01);
  near(said.aimedOffMm?.x.value, -30, 0.01);
  assert.deepEqual(said.words, ["turned 6° clockwise", "aimed 3 cm too far left", "nearer by 4 cm"]);
  assert.deepEqual(said.doNow, [
    "Turn the camera 6° anticlockwise.",
    "Aim 3 cm further right.",
    "Move 4 cm back.",
  ]);
});

test("the other way round: further, anticlockwise, too far right and down", () => {
  const said = framing({}, { magnification: 1 / 9, rollDeg: 8, targetMm: { x: 21, y: 14 } });
  assert.deepEqual(said.words, [
    "turned 8° anticlockwise",
    "aimed 2 cm too far right and 14 mm too far down",
    "further by 10 cm",
  ]);
  assert.deepEqual(said.doNow.at(-1), "Move 10 cm closer.");
});

for (const [name, moved, side] of [
  // a surface whose right part recedes is seen from the left
  ["left", { leanYDeg: 15 }, { right: -15, below: 0 }],
  ["right", { leanYDeg: -10 }, { right: 10, below: 0 }],
  ["top", { leanXDeg: 12 }, { right: 0, below: -12 }],
  ["bottom, and turned", { leanXDeg: -20, rollDeg: 30 }, { right: 0, below: 20 }],
] as const) {
  test(`seen from the ${name}, with another distance and aim`, () => {
    const said = framing({}, { ...moved, magnification: 1 / 7.6, targetMm: { x: 10, y: -15 } });
    near(said.seenFromDeg?.right, side.right, 0.1);
    near(said.seenFromDeg?.below, side.below, 0.1);
    near(said.nearerMm?.value, 40, 0.5);
    near(said.cameraTurnedDeg, "rollDeg" in moved ? -30 : 0, 0.1);
    near(said.aimedOffMm?.x.value, 10, 0.01);
    near(said.aimedOffMm?.y.value, -15, 0.01);
  });
}

test("both leaning: with the baseline's plane exact, without it to the share that the distance changed", () => {
  const [before, now] = [{ leanXDeg: 10 }, { leanXDeg: 18, magnification: 1 / 7.2 }] as const;
  near(framing(before, now, { plane: true }).seenFromDeg?.below, -8, 0.1);
  // 800 mm instead of 900 mm: a ninth of the baseline's own 10° is mixed in
  near(framing(before, now).seenFromDeg?.below, -8, 10 / 9 + 0.2);
});

test("without a scale it is said in shares of the frame, without lengths", () => {
  const said = framing(
    {},
    { magnification: 1 / 7.2, rollDeg: -6, targetMm: { x: -29, y: 0 } },
    { scale: false },
  );
  assert.equal(said.nearerMm, null);
  assert.deepEqual(said.words, [
    "turned 6° clockwise",
    // the baseline's frame is 36 mm × 8 = 288 mm wide
    "aimed 10 % of the picture's width too far left",
    "1.11 times as large in the frame",
  ]);
  assert.deepEqual(said.doNow.at(-1), "Move back until the subject is 10 % smaller in the frame than now.");
});

test("a scale but nothing of the lens: lengths in the subject's plane, no distance", () => {
  const said = framing({}, { magnification: 1 / 7.2, targetMm: { x: 0, y: 30 } }, { lens: false });
  near(said.aimedOffMm?.y.value, 30, 0.01);
  assert.equal(said.nearerMm, null);
  assert.equal(said.seenFromDeg, null);
});

test("another focal length from another distance is told apart from standing nearer", () => {
  // the same 1:8 with 60 mm: 540 mm instead of 900 mm
  const said = framing({}, { focalMm: 60 });
  near(said.nearerMm?.value, 360, 0.1);
  assert.deepEqual(said.words, ["at 60 mm focal length instead of 100 mm", "nearer by 36 cm"]);
  assert.deepEqual(said.doNow, ["Set the focal length to 100 mm.", "Move 36 cm back."]);
});

test("doing what is said restores the baseline", () => {
  const now = {
    leanYDeg: 14,
    leanXDeg: -6,
    rollDeg: -12,
    magnification: 1 / 6.8,
    targetMm: { x: 22, y: -17 },
  };
  const said = framing({}, now);
  const restored = {
    leanYDeg: now.leanYDeg + said.seenFromDeg!.right,
    leanXDeg: now.leanXDeg + said.seenFromDeg!.below,
    rollDeg: now.rollDeg + said.cameraTurnedDeg,
    targetMm: { x: now.targetMm.x - said.aimedOffMm!.x.value, y: now.targetMm.y - said.aimedOffMm!.y.value },
    // u = f (1 + 1/m)
    magnification: 1 / (1 / now.magnification + said.nearerMm!.value / 100),
  };
  const after = framing({}, restored);
  assert.deepEqual(after.words, []);
  near(after.nearerMm!.value, 0, 1);
});
