import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import sharp, { type Sharp } from "sharp";
import type { XY } from "../../src/answers.ts";
import { cover } from "../../src/deidentify/cover.ts";
import { inPolygon } from "../../src/deidentify/mask-area.ts";
import { outgoingPicture } from "../../src/deidentify/outgoing-picture.ts";

const WIDTH = 331;
const HEIGHT = 247;

/** A sequence that is the same in every run (Numerical Recipes' linear congruence). */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

function polygonFrom(random: () => number): XY[] {
  const middle: XY = [WIDTH * (0.2 + 0.6 * random()), HEIGHT * (0.2 + 0.6 * random())];
  const corners = 3 + Math.floor(4 * random());
  return Array.from({ length: corners }, (_, i) => {
    const angle = (2 * Math.PI * (i + random())) / corners;
    const far = 8 + 50 * random();
    return [middle[0] + far * Math.cos(angle), middle[1] + far * Math.sin(angle)];
  });
}

/** Smooth skin with noise; under the polygon something else entirely, in two ways. */
function twoPictures(random: () => number, polygon: readonly XY[]): [Uint8Array, Uint8Array] {
  const first = new Uint8Array(WIDTH * HEIGHT * 3);
  const second = new Uint8Array(first.length);
  for (let y = 0, i = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++, i += 3) {
      const under = inPolygon(polygon, [x + 0.5, y + 0.5]);
      for (const c of [0, 1, 2]) {
        const skin = 120 + 60 * Math.sin(x / 40 + c) * Math.cos(y / 30) + 20 * random();
        first[i + c] = under ? 255 * random() : skin;
        second[i + c] = under ? (((x >> 2) + (y >> 2)) % 2 === 0 ? 250 : 5) : first[i + c]!;
      }
    }
  }
  return [first, second];
}

const WRITERS = {
  png: (s: Sharp) => s.png(),
  "jpeg 4:2:0": (s: Sharp) => s.jpeg({ quality: 70, chromaSubsampling: "4:2:0" }),
  "jpeg 4:4:4": (s: Sharp) => s.jpeg({ quality: 40, chromaSubsampling: "4:4:4" }),
  "jpeg progressive": (s: Sharp) => s.jpeg({ quality: 80, progressive: true }),
  "webp lossless": (s: Sharp) => s.webp({ quality: 70, lossless: true }),
} as const;

async function folderFor(t: TestContext): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-covered-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

async function outgoing(file: string, bytes: Buffer, polygon: readonly XY[], maxSidePx: number | null) {
  await writeFile(file, bytes);
  const sha256 = createHash("sha256").update(bytes).digest("hex");
  const areas = [{ kind: "face" as const, polygon }];
  const answer = await outgoingPicture({ file, sha256, maxSidePx, areas, camera: null });
  assert.ok(answer.made);
  return Buffer.from(answer.jpeg);
}

for (const [name, write] of Object.entries(WRITERS)) {
  test(`two pictures that differ only under the mask leave as the same bytes: ${name}`, async (t) => {
    const folder = await folderFor(t);
    const raw = { width: WIDTH, height: HEIGHT, channels: 3 } as const;
    let blocksTold = 0;
    for (const seed of [1, 2, 3, 4]) {
      const random = randomFrom(seed);
      const polygon = polygonFrom(random);
      const [first, second] = twoPictures(random, polygon);
      const a = await write(sharp(first, { raw })).toBuffer();
      const b = await write(sharp(second, { raw })).toBuffer();
      assert.ok(!a.equals(b));
      blocksTold += await differOutside(a, b, polygon);
      for (const maxSidePx of [null, 300, 160, 41]) {
        const left = await outgoing(join(folder, "a"), a, polygon, maxSidePx);
        const right = await outgoing(join(folder, "b"), b, polygon, maxSidePx);
        assert.ok(left.equals(right), `seed ${seed}, side ${maxSidePx}: the covered part shows through`);
      }
    }
    // The coding itself tells of the covered part beside it: this is what the widening is for.
    if (name.startsWith("jpeg")) assert.ok(blocksTold > 100, `${blocksTold}`);
  });
}

/** Pixels outside the polygon in which two decoded pictures differ. */
async function differOutside(a: Buffer, b: Buffer, polygon: readonly XY[]): Promise<number> {
  const [left, right] = await Promise.all([a, b].map((bytes) => sharp(bytes).raw().toBuffer()));
  let count = 0;
  for (let i = 0; i < WIDTH * HEIGHT; i++) {
    const same = [0, 1, 2].every((c) => left![3 * i + c] === right![3 * i + c]);
    if (!same && !inPolygon(polygon, [(i % WIDTH) + 0.5, Math.floor(i / WIDTH) + 0.5])) count++;
  }
  return count;
}

test("a mask covers every pixel that its polygon touches, and no further than it is widened", () => {
  for (const seed of [11, 12, 13, 14, 15, 16]) {
    const random = randomFrom(seed);
    const polygon = polygonFrom(random);
    const grey = { widthPx: WIDTH, heightPx: HEIGHT, rgb: new Uint8Array(WIDTH * HEIGHT * 3).fill(200) };
    const by = Math.floor(4 * random());
    const { picture, covered } = cover(grey, [polygon], by);
    const isCovered = (x: number, y: number) => picture.rgb[3 * (y * WIDTH + x)] === 0;
    let count = 0;
    for (let y = 0; y < HEIGHT; y++) {
      for (let x = 0; x < WIDTH; x++) {
        if (isCovered(x, y)) count++;
        const points = [0.01, 0.25, 0.5, 0.75, 0.99].flatMap((dx) =>
          [0.01, 0.5, 0.99].map((dy): XY => [x + dx, y + dy]),
        );
        if (points.some((point) => inPolygon(polygon, point)))
          assert.ok(isCovered(x, y), `${seed}: ${x}, ${y}`);
      }
    }
    assert.equal(covered, count / (WIDTH * HEIGHT));
    const [xs, ys] = [polygon.map(([x]) => x), polygon.map(([, y]) => y)];
    const outside = (x: number, y: number) =>
      x + 1 < Math.min(...xs) - by - 1 ||
      x > Math.max(...xs) + by + 1 ||
      y + 1 < Math.min(...ys) - by - 1 ||
      y > Math.max(...ys) + by + 1;
    for (let y = 0; y < HEIGHT; y++)
      for (let x = 0; x < WIDTH; x++)
        if (outside(x, y)) assert.ok(!isCovered(x, y), `${seed}: too far at ${x}, ${y}`);
  }
});

test("a line without width, a polygon beyond the edge and one that crosses itself cover as well", () => {
  const grey = { widthPx: 20, heightPx: 20, rgb: new Uint8Array(1200).fill(200) };
  const at = (polygons: XY[][], x: number, y: number, by = 0) =>
    cover(grey, polygons, by).picture.rgb[3 * (y * 20 + x)];
  assert.equal(
    at(
      [
        [
          [3.5, 2.5],
          [15.5, 2.5],
          [3.5, 2.5],
        ],
      ],
      9,
      2,
    ),
    0,
  );
  assert.equal(
    at(
      [
        [
          [-50, -50],
          [500, -50],
          [500, 500],
          [-50, 500],
        ],
      ],
      19,
      19,
    ),
    0,
  );
  const bowTie: XY[] = [
    [2, 2],
    [18, 18],
    [18, 2],
    [2, 18],
  ];
  assert.equal(at([bowTie], 4, 10), 0);
  assert.equal(at([bowTie], 16, 10), 0);
  assert.equal(at([], 4, 10), 200);
  assert.equal(
    at(
      [
        [
          [10, 10],
          [11, 10],
          [11, 11],
          [10, 11],
        ],
      ],
      7,
      7,
      3,
    ),
    0,
  );
});

test("an original that changed since is not shown", async (t) => {
  const file = join(await folderFor(t), "a.png");
  await writeFile(
    file,
    await sharp({ create: { width: 8, height: 8, channels: 3, background: "#a55" } })
      .png()
      .toBuffer(),
  );
  const answer = await outgoingPicture({
    file,
    sha256: "0".repeat(64),
    maxSidePx: null,
    areas: [],
    camera: null,
  });
  assert.equal(answer.made, false);
});
