import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { applyHomography, imagePoint } from "@samescale/geometry";
import type { ScaleAnswer } from "../../src/answers.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { type GhostInput, ghostOf } from "../../src/render/ghost/ghost.ts";

/** A grey field with one dark disc, as a JPEG; `x`, `y`: its middle. */
async function discPicture(
  t: { after(work: () => Promise<void>): void },
  size: { width: number; height: number },
  {
    x,
    y,
    radius,
    orientation = 1,
    fill = "#501810",
  }: { x: number; y: number; radius: number; orientation?: number; fill?: string },
): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-ghost-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  const file = join(folder, "disc.jpg");
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${size.width}" height="${size.height}"><rect width="100%" height="100%" fill="#b09080"/><circle cx="${x}" cy="${y}" r="${radius}" fill="${fill}"/></svg>`;
  await sharp(Buffer.from(svg)).withMetadata({ orientation }).jpeg({ quality: 95 }).toFile(file);
  return file;
}

const plain = { turnOver: false, scale: null, title: "View", notes: ["Set 1:4."] } as const;

/** Where the ghost is darkest, how large that is, and what lies round it. */
async function ghostSeen(input: GhostInput) {
  const ghost = await ghostOf(input);
  const { data, info } = await sharp(ghost.png).raw().toBuffer({ resolveWithObject: true });
  assert.equal(info.channels, 4);
  let [n, sx, sy] = [0, 0, 0];
  const alphas = new Set<number>();
  for (let i = 0; i < info.width * info.height; i++) {
    alphas.add(data[4 * i + 3]!);
    // Half transparent and dark: the disc's own pixels, not the lines, not what is not covered.
    if (data[4 * i + 3] !== 128 || data[4 * i]! > 100) continue;
    n++;
    sx += (i % info.width) + 0.5;
    sy += Math.floor(i / info.width) + 0.5;
  }
  return { ghost, info, data, alphas, middle: { x: sx / n, y: sy / n }, area: n };
}

test("a millimetre is as large as in the next frame, middle on middle, reduced to a screen", async (t) => {
  const file = await discPicture(t, { width: 1200, height: 800 }, { x: 800, y: 300, radius: 60 });
  // 10 px/mm then; now 6000 px at 40 px/mm: four times as many pixels a millimetre, and a field of 150 mm, not 120.
  const next = { widthPx: 6000, heightPx: 4000, pxPerMm: 40 };
  const { ghost, info, middle, area, data } = await ghostSeen({ file, pxPerMm: 10, next, ...plain });
  // The two sides keep 3 : 2 as nearly as whole pixels let them.
  assert.ok(info.width <= 1600 && info.width > 1590);
  const perMm = (40 * info.width) / 6000;
  // The disc lies 20 mm right of and 10 mm above the middle, and is 6 mm in radius.
  assert.ok(Math.abs(middle.x - (info.width / 2 + 20 * perMm)) < 0.7, `${middle.x}`);
  assert.ok(Math.abs(middle.y - (info.height / 2 - 10 * perMm)) < 0.7, `${middle.y}`);
  // Without the cased line that is drawn on its rim, about 2.5 px.
  assert.ok(Math.abs(Math.sqrt(area / Math.PI) - 6 * perMm) < 4);
  const said = applyHomography(ghost.baselineToGhost, imagePoint(800, 300));
  assert.ok(Math.hypot(said.x - middle.x, said.y - middle.y) < 0.7);
  // 120 of 150 mm across and 80 of 100 mm down; nothing beyond.
  assert.ok(Math.abs(ghost.covered - 0.64) < 0.01);
  assert.equal(data[3], 0);
});

test("the rim is drawn pale in dark, so that it shows on every skin", async (t) => {
  const file = await discPicture(t, { width: 1200, height: 800 }, { x: 600, y: 400, radius: 120 });
  const next = { widthPx: 6000, heightPx: 4000, pxPerMm: 50 };
  const { data, info } = await ghostSeen({ file, pxPerMm: 10, next, ...plain });
  const radius = (120 * info.width) / 1200;
  let [met, cased] = [0, 0];
  for (let deg = 0; deg < 360; deg += 5) {
    const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
    const at = (r: number) => {
      const i = Math.floor(info.height / 2 + r * s) * info.width + Math.floor(info.width / 2 + r * c);
      return [data[4 * i]!, data[4 * i + 3]!] as const;
    };
    const along = Array.from({ length: 25 }, (_, i) => at(radius - 6 + 0.5 * i));
    if (along.some(([red, alpha]) => red > 240 && alpha > 200)) met++;
    if (along.some(([red, alpha]) => red < 40 && alpha > 150)) cased++;
  }
  assert.ok(met >= 70 && cased >= 70, `${met} and ${cased} of 72 directions`);
});

test("a picture that lies on its side in the file is turned upright, one through a mirror is turned over", async (t) => {
  // Stored 1200 x 800; orientation 6: the upright picture is 800 x 1200, stored (x, y) at (800 - y, x).
  const file = await discPicture(
    t,
    { width: 1200, height: 800 },
    { x: 900, y: 200, radius: 50, orientation: 6 },
  );
  const next = { widthPx: 4000, heightPx: 6000, pxPerMm: 50 };
  const upright = await ghostSeen({ file, pxPerMm: 10, next, ...plain });
  const perPx = upright.info.width / 800;
  assert.ok(Math.abs(upright.middle.x - 600 * perPx) < 1 && Math.abs(upright.middle.y - 900 * perPx) < 1);
  const over = await ghostSeen({ file, pxPerMm: 10, next, ...plain, turnOver: true });
  assert.ok(Math.abs(over.middle.x - 200 * perPx) < 1 && Math.abs(over.middle.y - 900 * perPx) < 1);
});

test("no line is drawn at the scale, which lies elsewhere next time; what is coloured beside it is drawn", async (t) => {
  const white = { x: 600, y: 400, radius: 120, fill: "#f4f4f2" };
  const file = await discPicture(t, { width: 1200, height: 800 }, white);
  const next = { widthPx: 6000, heightPx: 4000, pxPerMm: 50 };
  const scale = scaleAt(600, 400, file);
  const { alphas } = await ghostSeen({ file, pxPerMm: 10, next, ...plain, scale });
  assert.deepEqual([...alphas].toSorted(), [0, 128]);
  const brown = await discPicture(t, { width: 1200, height: 800 }, { ...white, fill: "#501810" });
  const drawn = await ghostSeen({ file: brown, pxPerMm: 10, next, ...plain, scale });
  assert.ok(drawn.alphas.has(240));
});

/** A straight scale read along a horizontal edge, 10 px/mm. */
function scaleAt(x: number, y: number, file: string): ScaleAnswer {
  return {
    file,
    widthPx: 1200,
    heightPx: 800,
    found: true,
    scales: [
      {
        kind: "straight",
        unit: "mm",
        pxPerMm: { value: 10, u95: 0.01 },
        at: { x, y },
        axisDeg: 0,
        ticks: [],
        coverageMm: 30,
        residualPx: 0.1,
      },
    ],
    plane: null,
    reproductionRatio: null,
    warnings: [],
    recipe: { step: "scale", version: 2, parameters: {} },
  };
}

test("a picture without edges has no lines", async (t) => {
  const file = await discPicture(t, { width: 1200, height: 800 }, { x: 600, y: 400, radius: 1 });
  const next = { widthPx: 6000, heightPx: 4000, pxPerMm: 50 };
  const { alphas } = await ghostSeen({ file, pxPerMm: 10, next, ...plain });
  assert.deepEqual([...alphas].toSorted(), [0, 128]);
});
