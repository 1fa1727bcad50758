import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { mkdir, mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { AlignAnswer, ScaleAnswer } from "../../src/answers.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { comparisonPictures } from "../../src/render/comparison/comparison-pictures.ts";

/** A baseline of 400 × 300 px and a follow-up that shows it 20 px further right, with one square that became dark. */
const SIZE = { width: 400, height: 300 } as const;
const SHIFT_PX = 20;
const SQUARE = { x: 240, y: 130, side: 60 } as const; // in the baseline
let folder = "";
let [baseline, followup] = ["", ""];

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-compare-"));
  [baseline, followup] = [join(folder, "one.png"), join(folder, "two.png")];
  await written(baseline, 0, false);
  await written(followup, SHIFT_PX, true);
});
after(async () => await rm(folder, { recursive: true, force: true }));

async function written(file: string, shift: number, isDark: boolean): Promise<void> {
  const rgb = Buffer.alloc(3 * SIZE.width * SIZE.height);
  for (let y = 0, i = 0; y < SIZE.height; y++) {
    for (let x = 0; x < SIZE.width; x++, i += 3) {
      const bx = x - shift;
      const inside =
        bx >= SQUARE.x && bx < SQUARE.x + SQUARE.side && y >= SQUARE.y && y < SQUARE.y + SQUARE.side;
      const v = 150 + 20 * Math.sin(bx / 9) * Math.cos(y / 7) - (isDark && inside ? 90 : 0);
      rgb.fill(Math.round(v), i, i + 3);
    }
  }
  await sharp(rgb, { raw: { ...SIZE, channels: 3 } })
    .png()
    .toFile(file);
}

const laid = (warnings: readonly string[] = []): AlignAnswer => ({
  baseline,
  followup,
  aligned: true,
  homography: [
    [1, 0, -SHIFT_PX],
    [0, 1, 0],
    [0, 0, 1],
  ],
  scaleChange: 1,
  rotationDeg: 0,
  shiftFraction: { x: 0.05, y: 0 },
  overlap: 0.95,
  residualPx: 0.1,
  matches: 100,
  method: "pictures",
  map: "similarity",
  agreement: 0.9,
  warnings,
  recipe: { step: "align", version: 1, parameters: {} },
});
const refused = (): AlignAnswer => ({ baseline, followup, aligned: false, reason: "too few places agree" });

async function pixels(file: string) {
  const { data, info } = await sharp(file).removeAlpha().raw().toBuffer({ resolveWithObject: true });
  return (x: number, y: number) => [...data.subarray(3 * (y * info.width + x), 3 * (y * info.width + x) + 3)];
}
/** Where a baseline pixel lies on a sheet with one panel: the sheet's own margin. */
const MARGIN_PX = 12;

test("every picture shows follow-up and baseline in one place, and the recipe names them by their hash", async () => {
  const to = join(folder, "aligned");
  const names = await comparisonPictures({ baseline, followups: [laid(["look closely"])], folder: to });
  assert.deepEqual(names, [
    "follow-up-1-side-by-side.jpg",
    "follow-up-1-blink.webp",
    "follow-up-1-split-line.jpg",
    "follow-up-1-difference.png",
    "all-visits.jpg",
    "recipe.json",
  ]);
  assert.deepEqual((await readdir(to)).toSorted(), names.toSorted());

  const at = await pixels(join(to, "follow-up-1-difference.png"));
  const [r, g, b] = at(MARGIN_PX + SQUARE.x + 30, MARGIN_PX + SQUARE.y + 30) as [number, number, number];
  assert.ok(b > r + 40 && b > g + 40, `the square became darker: violet, received ${r},${g},${b}`);
  const same = at(MARGIN_PX + 60, MARGIN_PX + 60);
  assert.ok(Math.max(...same) - Math.min(...same) < 12, `nothing changed there: grey, received ${same}`);
  assert.deepEqual(at(MARGIN_PX + 390, MARGIN_PX + 100), [255, 255, 255], "not covered by the follow-up");

  const split = await pixels(join(to, "follow-up-1-split-line.jpg"));
  assert.ok(
    split(MARGIN_PX + SQUARE.x + 30, MARGIN_PX + SQUARE.y + 30)[0]! < 90,
    "right of the line: the follow-up",
  );

  const blink = await sharp(join(to, "follow-up-1-blink.webp"), { animated: true }).metadata();
  assert.equal(blink.pages, 2);
  // WCAG 2.2, 2.3.1: no more than three flashes a second; each picture stays at least a second here
  assert.ok(blink.delay!.every((ms) => ms >= 1000));

  const recipe = JSON.parse(await readFile(join(to, "recipe.json"), "utf8"));
  const hash = async (file: string) =>
    createHash("sha256")
      .update(await readFile(file))
      .digest("hex");
  for (const { file, sha256, from } of recipe.pictures) {
    assert.equal(sha256, await hash(join(to, file)));
    assert.deepEqual(from, [await hash(baseline), await hash(followup)]);
  }
});

test("a follow-up that could not be aligned is shown with that said on it, and nothing else is made of it", async () => {
  const to = join(folder, "refused");
  const names = await comparisonPictures({ baseline, followups: [refused(), laid()], folder: to });
  assert.deepEqual(
    names.filter((name) => name.startsWith("follow-up-1")),
    ["follow-up-1-side-by-side.jpg"],
  );
  assert.equal(names.filter((name) => name.startsWith("follow-up-2")).length, 4);
  // the band with the words lies across the middle of the right-hand picture
  const at = await pixels(join(to, "follow-up-1-side-by-side.jpg"));
  const [x, y] = [2 * MARGIN_PX + SIZE.width + 3, MARGIN_PX + SIZE.height / 2];
  assert.ok(Math.min(...at(x, y)) > 225, `${at(x, y)}`);
});

test("two scales bring a follow-up that was not aligned to the baseline's size", async () => {
  const reading = (pxPerMm: number): ScaleAnswer => ({
    file: "made",
    widthPx: SIZE.width,
    heightPx: SIZE.height,
    found: true,
    scales: [
      {
        kind: "straight",
        unit: "mm",
        pxPerMm: { value: pxPerMm, u95: 0.01 },
        at: { x: 200, y: 150 },
        axisDeg: 0,
        ticks: [],
        coverageMm: 60,
        residualPx: 0.1,
      },
    ],
    plane: null,
    reproductionRatio: null,
    warnings: [],
    recipe: { step: "scale", version: 1, parameters: {} },
  });
  const to = join(folder, "scaled");
  const scales = { baselineScale: reading(4), followupScales: [reading(8)] };
  await comparisonPictures({ baseline, followups: [refused()], folder: to, ...scales });
  const at = await pixels(join(to, "follow-up-1-side-by-side.jpg"));
  // half as large in the middle: outside it the frame is mid grey, as far as the compression keeps it
  const edge = at(2 * MARGIN_PX + SIZE.width + 40, MARGIN_PX + 40);
  assert.ok(
    edge.every((v) => Math.abs(v - 128) < 6),
    `${edge}`,
  );
});

test("what is there already is left alone, and nothing is left behind", async () => {
  const to = join(folder, "taken");
  await mkdir(to);
  const before = await readdir(folder);
  await assert.rejects(comparisonPictures({ baseline, followups: [laid()], folder: to }), {
    code: "PICTURES_EXIST",
  });
  await assert.rejects(
    comparisonPictures({ baseline, followups: [laid()], folder: join(folder, "no", "such") }),
    {
      code: "FILE_MISSING",
    },
  );
  assert.deepEqual(await readdir(folder), before);
});
