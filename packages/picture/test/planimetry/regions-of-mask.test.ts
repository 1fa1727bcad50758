import assert from "node:assert/strict";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { areaOf, namedFaults, seededRandom } from "@samescale/geometry";
import sharp, { type Sharp } from "sharp";
import type { OutlineRegion } from "../../src/answers.ts";
import { regionsOfMask, regionsOfMaskFile } from "../../src/planimetry/regions-of-mask.ts";

const folder = mkdtempSync(join(tmpdir(), "masks-"));
after(() => rmSync(folder, { recursive: true, force: true }));

const points = (region: OutlineRegion) => ({
  outline: region.outline.map(([x, y]) => ({ x, y })),
  holes: region.holes.map((hole) => hole.map(([x, y]) => ({ x, y }))),
});
const total = (regions: readonly OutlineRegion[]) =>
  regions.reduce((sum, region) => sum + areaOf(points(region)), 0);

/** Smooth blobs with holes: a sum of waves above a level. */
function blobs(seed: number, width: number, height: number) {
  const random = seededRandom(seed);
  const waves = Array.from({ length: 6 }, () => [random() * 0.2, random() * 0.2, random() * 7] as const);
  return Uint8Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    return waves.reduce((sum, [a, b, c]) => sum + Math.sin(a * x + b * y + c), 0) > 0.8 ? 1 : 0;
  });
}

test("traced regions enclose exactly as many pixels as the mask has (30 seeds, within 0.1 %)", () => {
  for (let seed = 1; seed <= 30; seed++) {
    const mask = blobs(seed, 97, 83);
    const count = mask.reduce((a, b) => a + b, 0);
    const area = total(regionsOfMask(mask, 97, 83));
    assert.ok(Math.abs(area - count) <= 0.001 * count, `seed ${seed}: ${area} for ${count} px`);
  }
});

test("traced regions can be measured: none crosses itself, holes lie inside (30 seeds)", () => {
  for (let seed = 1; seed <= 30; seed++) {
    for (const region of regionsOfMask(blobs(seed, 97, 83), 97, 83)) {
      assert.deepEqual(namedFaults(points(region)), [], `seed ${seed}`);
    }
  }
});

test("small masks keep their area too: one pixel, a bar, a square with a hole", () => {
  const draw = (...rows: string[]) =>
    total(
      regionsOfMask(
        Uint8Array.from(rows.join(""), (c) => (c === "#" ? 1 : 0)),
        rows[0]!.length,
        rows.length,
      ),
    );
  // Moving a coarse ring out is exact only to second order: a fiftieth of a pixel.
  assert.ok(Math.abs(draw("...", ".#.", "...") - 1) < 0.02);
  assert.ok(Math.abs(draw("......", ".####.", "......") - 4) < 0.02);
  assert.ok(Math.abs(draw("#####", "#...#", "#...#", "#...#", "#####") - 16) < 0.05);
});

const size = { widthPx: 40, heightPx: 30 };
const square = (on: number, channels: 1 | 2 | 3 | 4, alpha = 255) =>
  Buffer.from(
    Array.from({ length: 40 * 30 }, (_, i) => {
      const inside = i % 40 >= 10 && i % 40 < 30 && i >= 5 * 40 && i < 20 * 40;
      const colours = channels === 2 || channels === 4 ? channels - 1 : channels;
      const pixel = new Array<number>(colours).fill(inside ? on : 0);
      return colours === channels ? pixel : [...pixel, inside ? alpha : 255];
    }).flat(),
  );

async function areaOfFile(name: string, image: Sharp): Promise<number> {
  const file = join(folder, name);
  await image.png().toFile(file);
  return total(await regionsOfMaskFile(file, size));
}

test("what is not zero is inside: 1 of 255, colours, few colours, 16 bits; what is transparent is not", async () => {
  const raw = (channels: 1 | 2 | 3 | 4) => ({ raw: { width: 40, height: 30, channels } });
  const near = (area: number, wanted: number) => assert.ok(Math.abs(area - wanted) < 0.3, `${area}`);
  near(await areaOfFile("grey.png", sharp(square(1, 1), raw(1))), 300);
  near(await areaOfFile("rgb.png", sharp(square(7, 3), raw(3))), 300);
  near(await areaOfFile("alpha.png", sharp(square(200, 4), raw(4))), 300);
  assert.equal(await areaOfFile("clear.png", sharp(square(200, 4, 0), raw(4))), 0);
  const palette = join(folder, "palette.png");
  await sharp(square(255, 3), raw(3)).png({ palette: true, colours: 2 }).toFile(palette);
  near(total(await regionsOfMaskFile(palette, size)), 300);
  const deep = Uint16Array.from({ length: 40 * 30 }, (_, i) => (i % 40 >= 10 && i % 40 < 30 ? 3 : 0));
  const sixteen = sharp(deep, { raw: { width: 40, height: 30, channels: 1 } }).toColourspace("grey16");
  near(await areaOfFile("sixteen.png", sixteen), 600);
});

test("a mask of another size, a damaged one and one that is no PNG are refused in words", async () => {
  const file = join(folder, "good.png");
  await sharp(square(255, 1), { raw: { width: 40, height: 30, channels: 1 } })
    .png()
    .toFile(file);
  await assert.rejects(regionsOfMaskFile(file, { widthPx: 30, heightPx: 40 }), {
    code: "MASK_OF_ANOTHER_SIZE",
    message: /40 x 30 px, the upright picture 30 x 40/,
  });
  const cut = join(folder, "cut.png");
  const whole = await sharp(Buffer.from(Uint8Array.from({ length: 1200 }, (_, i) => (i * 37) % 251)), {
    raw: { width: 40, height: 30, channels: 1 },
  })
    .png({ compressionLevel: 0 })
    .toBuffer();
  writeFileSync(cut, whole.subarray(0, 400));
  await assert.rejects(regionsOfMaskFile(cut, size), { code: "MASK_NOT_READ" });
  const text = join(folder, "text.png");
  writeFileSync(text, "not a picture");
  await assert.rejects(regionsOfMaskFile(text, size), { code: "MASK_NOT_READ" });
});
