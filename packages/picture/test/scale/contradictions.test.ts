import assert from "node:assert/strict";
import { test } from "node:test";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { readScale } from "../../src/scale/read-scale.ts";
import { MM, type Ruler, ruler, SIXTEENTHS } from "./drawings.ts";
import type { Drawing } from "./drawn-picture.ts";
import { errorPct, found, type Shown, shoot } from "./reading.ts";

const INCH = 25.4;

/** Two edges of one ruler, back to back. */
function twoSided(near: Ruler, far: Ruler): Drawing {
  const [a, b] = [ruler(near), ruler(far)];
  return (x, y) => (y < 13 ? a(x, y) : b(90 - x, 26 - y));
}

/** Whatever is answered without a warning is right; with one, the interval holds the truth. */
function neverSilentlyWrong({ picture, truth }: Shown, drawnTo = 1): void {
  const reading = readScale(picture);
  if (!reading.found) return;
  for (const scale of reading.scales) {
    const expected = truth(scale) * drawnTo;
    if (reading.warnings.length === 0) assert.ok(errorPct(scale.pxPerMm.value, expected) < 1);
    else assert.ok(Math.abs(scale.pxPerMm.value - expected) <= scale.pxPerMm.u95, reading.warnings.join());
  }
}

test("a scale whose two sides contradict each other is never read without a warning", () => {
  // Sixteenths printed a fifth too small beside true millimetres, as by a printer that fits each side to its page.
  const wrong: Ruler = { pitchMm: (0.8 * INCH) / 16, count: 68, classes: SIXTEENTHS, blotMm: 0 };
  const shown = shoot(
    twoSided({ pitchMm: 1, count: 88, classes: MM, blotMm: 0 }, wrong),
    { centreMm: [45, 13], heightPx: 560 },
    1,
  );
  const { warnings } = found(shown.picture);
  assert.match(warnings.join(), /contradict/);
});

test("millimetres of two sizes on one scale are not read without a warning", () => {
  const shown = shoot(
    twoSided(
      { pitchMm: 1, count: 88, classes: MM, blotMm: 0 },
      { pitchMm: 1.25, count: 70, classes: MM, blotMm: 0 },
    ),
    { centreMm: [45, 13], heightPx: 560 },
    2,
  );
  assert.match(found(shown.picture).warnings.join(), /contradict/);
});

test("a part between two majors is doubted or refused", () => {
  for (const [count, first] of [
    [8, 1],
    [12, 2],
    [14, 3],
    [18, 1],
  ] as const) {
    const drawn = ruler({ pitchMm: 1, count, first, classes: MM, blotMm: 0 });
    const shown = shoot(drawn, { centreMm: [count / 2, 5], pxPerMm: 14, widthPx: 420, heightPx: 320 }, count);
    const reading = readScale(shown.picture);
    if (reading.found) {
      assert.ok(reading.warnings.length > 0, `${count} from ${first}`);
      const [scale] = reading.scales;
      assert.ok(Math.abs(scale!.pxPerMm.value - shown.truth(scale!)) <= scale!.pxPerMm.u95);
    }
    neverSilentlyWrong(shown);
  }
});

test("a scale in a mirror is as long as it is", () => {
  const shown = shoot(ruler({ pitchMm: 1, count: 80, classes: MM }), { rollDeg: 0 }, 5);
  const { widthPx, grey } = shown.picture;
  const mirrored: GreyPicture = {
    ...shown.picture,
    grey: grey.map((_, i) => grey[i - (i % widthPx) + widthPx - 1 - (i % widthPx)]!),
  };
  const [scale] = found(mirrored).scales;
  assert.ok(errorPct(scale!.pxPerMm.value, 8) < 0.1);
});

test("a screen that shows a scale is answered, whatever its pixels do to the picture's", () => {
  const drawn = ruler({ pitchMm: 1, count: 60, classes: MM });
  for (const cellMm of [0.17, 0.23, 0.31]) {
    // Rows and columns of cells with dark gaps, each cell of one tone.
    const screen: Drawing = (x, y) => {
      const [i, j] = [Math.floor(x / cellMm), Math.floor(y / cellMm)];
      const gap = x / cellMm - i < 0.25 || y / cellMm - j < 0.25;
      return gap ? 15 : drawn((i + 0.5) * cellMm, (j + 0.5) * cellMm);
    };
    neverSilentlyWrong(shoot(screen, { pxPerMm: 7, centreMm: [30, 5], rollDeg: 2, tiltDeg: 8 }, 6));
  }
});
