import assert from "node:assert/strict";
import { describe, test } from "node:test";
import sharp from "sharp";
import {
  applyHomography,
  composeHomographies,
  FROM_PIXEL_CENTRES,
  imagePoint,
  imageToPrint,
  imageToSensor,
  type Orientation,
  pixelPitchMm,
  planePoint,
  planeToPrint,
  printToImage,
  printToPlane,
  sensorToImage,
  storedPoint,
  storedToUpright,
  TO_PIXEL_CENTRES,
  trueSizePixelsPerInch,
  uprightSizeOf,
  uprightToStored,
} from "../../src/index.ts";

const orientations: readonly Orientation[] = [1, 2, 3, 4, 5, 6, 7, 8];
const stored = { widthPx: 6000, heightPx: 4000 };
const places = [
  [0, 0],
  [6000, 4000],
  [17.25, 3.5],
] as const;

describe("stored and upright pixels", () => {
  for (const orientation of orientations) {
    test(`orientation ${orientation}: there and back within 1e-9 px, and inside the upright picture`, () => {
      const size = uprightSizeOf(stored, orientation);
      for (const [x, y] of places) {
        const p = storedToUpright(storedPoint(x, y), stored, orientation);
        assert.ok(p.x >= 0 && p.y >= 0 && p.x <= size.widthPx && p.y <= size.heightPx);
        const back = uprightToStored(p, stored, orientation);
        assert.ok(Math.hypot(back.x - x, back.y - y) < 1e-9);
      }
    });
  }

  test("where the first row and column come to lie, as the standard's table has it", () => {
    // EXIF 2.32 / TIFF 6.0, tag 0x0112: the side on which row 0 lies, then the side on which column 0 lies.
    const table = {
      1: ["top", "left"],
      2: ["top", "right"],
      3: ["bottom", "right"],
      4: ["bottom", "left"],
      5: ["left", "top"],
      6: ["right", "top"],
      7: ["right", "bottom"],
      8: ["left", "bottom"],
    } as const;
    for (const orientation of orientations) {
      const size = uprightSizeOf(stored, orientation);
      const sideOf = (p: { x: number; y: number }, q: { x: number; y: number }): string => {
        if (p.x === q.x) return p.x === 0 ? "left" : p.x === size.widthPx ? "right" : "?";
        return p.y === 0 ? "top" : p.y === size.heightPx ? "bottom" : "?";
      };
      const at = (x: number, y: number) => storedToUpright(storedPoint(x, y), stored, orientation);
      assert.equal(sideOf(at(0, 0), at(6000, 0)), table[orientation][0], `row of ${orientation}`);
      assert.equal(sideOf(at(0, 0), at(0, 4000)), table[orientation][1], `column of ${orientation}`);
    }
  });

  for (const orientation of orientations) {
    test(`orientation ${orientation}: every pixel lies where a general image library puts it`, async () => {
      const [widthPx, heightPx] = [5, 3];
      const values = Buffer.from(Array.from({ length: widthPx * heightPx }, (_, i) => 10 + i));
      const file = await sharp(values, { raw: { width: widthPx, height: heightPx, channels: 1 } })
        .withMetadata({ orientation })
        .tiff({ compression: "none" })
        .toBuffer();
      const turned = await sharp(file)
        .autoOrient()
        .toColourspace("b-w")
        .raw()
        .toBuffer({ resolveWithObject: true });
      const size = uprightSizeOf({ widthPx, heightPx }, orientation);
      assert.deepEqual([turned.info.width, turned.info.height], [size.widthPx, size.heightPx]);
      for (let y = 0; y < heightPx; y++) {
        for (let x = 0; x < widthPx; x++) {
          const p = storedToUpright(storedPoint(x + 0.5, y + 0.5), { widthPx, heightPx }, orientation);
          const there = turned.data[Math.floor(p.y) * size.widthPx + Math.floor(p.x)];
          assert.equal(there, values[y * widthPx + x], `pixel ${x} ${y}`);
        }
      }
    });
  }
});

describe("pixel centres", () => {
  test("the first pixel's centre is (0.5, 0.5) here and (0, 0) there; the two passages undo each other", () => {
    assert.deepEqual(applyHomography(FROM_PIXEL_CENTRES, { x: 0, y: 0 }), { x: 0.5, y: 0.5 });
    assert.deepEqual(applyHomography(TO_PIXEL_CENTRES, { x: 0.5, y: 0.5 }), { x: 0, y: 0 });
    for (const [x, y] of places) {
      const back = applyHomography(composeHomographies(FROM_PIXEL_CENTRES, TO_PIXEL_CENTRES), { x, y });
      assert.ok(Math.hypot(back.x - x, back.y - y) < 1e-9);
    }
  });

  test("halving a picture is multiplying by a half here; between pixel centres it needs a shift of a quarter", () => {
    const half = [
      [0.5, 0, 0],
      [0, 0.5, 0],
      [0, 0, 1],
    ] as const;
    const between = composeHomographies(TO_PIXEL_CENTRES, composeHomographies(half, FROM_PIXEL_CENTRES));
    // The mean of pixels 0 and 1 becomes pixel 0.
    assert.deepEqual(applyHomography(between, { x: 0.5, y: 0.5 }), { x: 0, y: 0 });
    assert.deepEqual(applyHomography(between, { x: 0, y: 0 }), { x: -0.25, y: -0.25 });
  });
});

describe("sensor and print", () => {
  test("there and back within 1e-9 px", () => {
    const pitch = pixelPitchMm(36, 6000);
    for (const [x, y] of places) {
      const viaSensor = sensorToImage(imageToSensor(imagePoint(x, y), stored, pitch), stored, pitch);
      const viaPrint = printToImage(imageToPrint(imagePoint(x, y), 300), 300);
      for (const back of [viaSensor, viaPrint]) assert.ok(Math.hypot(back.x - x, back.y - y) < 1e-9);
      const origin = planePoint(-12.5, 40);
      const plane = printToPlane(planeToPrint(planePoint(x, y), origin, 2.162), origin, 2.162);
      assert.ok(Math.hypot(plane.x - x, plane.y - y) < 1e-9);
    }
  });

  test("the picture's middle is the sensor's, and its corner half the sensor away", () => {
    const pitch = pixelPitchMm(36, 6000);
    assert.deepEqual({ ...imageToSensor(imagePoint(3000, 2000), stored, pitch) }, { x: 0, y: 0 });
    assert.deepEqual({ ...imageToSensor(imagePoint(0, 0), stored, pitch) }, { x: -18, y: -12 });
  });

  test("25.532 px/mm: 648.5 px per inch for true size, 2.162 times on paper at 300", () => {
    // The project's table of facts, section 3.5 (computed there; one and three decimals printed).
    assert.ok(Math.abs(trueSizePixelsPerInch(25.532) - 648.5) < 0.05);
    const onPaper = imageToPrint(imagePoint(25.532, 0), 300).x;
    assert.ok(Math.abs(onPaper - 2.162) < 0.0005);
  });
});
