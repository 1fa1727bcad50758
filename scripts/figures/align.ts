import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { alignFiles } from "../../packages/picture/src/align/align-files.ts";
import { alignPictures } from "../../packages/picture/src/align/align-pictures.ts";
import { Assessor, COARSE } from "../../packages/picture/src/align/assess.ts";
import { workPicture } from "../../packages/picture/src/align/work-picture.ts";
import { greyOf } from "../../packages/picture/src/decode/decode.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { comparisonPictures } from "../../packages/picture/src/render/comparison/comparison-pictures.ts";

import { frameOf, laidPicture } from "../../packages/picture/src/render/comparison/laid-picture.ts";
import { type Panel, sheetOf } from "../../packages/picture/src/render/comparison/panel.ts";
import { splitLine, splitOf } from "../../packages/picture/src/render/comparison/split-line.ts";
import { scaleOfFile } from "../../packages/picture/src/scale/scale-of-file.ts";
import { withVision } from "../../packages/picture/src/vision/opencv.ts";
import {
  type Camera,
  frontalLight,
  type Picture,
  renderPicture,
  ringLight,
  standardBackdrop,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
  writePicture,
} from "../../packages/simulator/src/index.ts";

/**
 * Draws the figures of docs/methods/align.md from real runs and prints what stands beside them.
 *   node scripts/figures/align.ts
 */
const figures = fileURLToPath(new URL("../../docs/methods/figures/", import.meta.url));
const folder = await mkdtemp(join(tmpdir(), "samescale-figures-"));
const out = (line: string) => process.stdout.write(`${line}\n`);
const SIZE = { widthPx: 1500, heightPx: 1000 } as const;

const wound = (healed: number): Thing => ({
  kind: "wound",
  id: "wound",
  placement: { xMm: 4, yMm: 2, rotateDeg: 20 },
  seed: 5,
  lengthMm: 40,
  widthMm: 27,
  healed,
  slough: 0.4 - 0.3 * healed,
  erythemaMm: 9 - 9 * healed,
  wet: 0.6,
});
const lScale = (visit: number): Thing => ({
  kind: "l-scale",
  placement: { xMm: -44 + 4 * visit, yMm: -28 + 2 * visit, rotateDeg: 3 * visit },
  legMm: 60,
});
const skinOf = (tone: 1 | 2 | 3 | 4 | 5 | 6, seed: number) =>
  standardSkin({ tone, seed, hairs: 2, moles: 1.2, vessels: 0.5 });

try {
  await compared();
  await places();
  await failures();
} finally {
  await rm(folder, { recursive: true, force: true });
}

/** One pair of visits: what the command writes. */
async function compared(): Promise<void> {
  const cameras: Partial<Camera>[] = [
    { magnification: 1 / 4.2, takenAt: "2026:03:02 09:00:00" },
    {
      magnification: 1 / 3.85,
      rollDeg: -6,
      targetMm: { x: -8, y: 3 },
      leanYDeg: 14,
      takenAt: "2026:03:16 10:10:00",
    },
  ];
  const files: string[] = [];
  for (const [visit, moved] of cameras.entries()) {
    const camera = standardCamera({ ...SIZE, ...moved });
    const light = visit === 0 ? frontalLight() : ringLight();
    const scene = standardScene({ skin: skinOf(3, 77), light, things: [wound(0.3 * visit), lScale(visit)] });
    files.push(join(folder, `visit-${visit}.jpg`));
    await writePicture(files.at(-1)!, await renderPicture({ scene, camera, seed: 100 + visit }), camera);
  }
  const [baseline, followup] = files as [string, string];
  const scales = {
    baseline: await scaleOfFile({ file: baseline }),
    followup: await scaleOfFile({ file: followup }),
  };
  const answer = await alignFiles({ baseline, followup, scales });
  if (!answer.aligned) throw new Error(answer.reason);
  out(`compared: ${answer.framing?.words.join(", ")}`);
  out(`  ${answer.framing?.doNow.join(" ")}`);
  const percent = (v: { value: number; u95: number }) =>
    `${(100 * (v.value - 1)).toFixed(2)} ± ${(100 * v.u95).toFixed(2)} %`;
  if (answer.sameRatio) {
    out(
      `  larger by the skin ${percent(answer.sameRatio.bySkin)}, by the scales ${percent(answer.sameRatio.byScales)}`,
    );
  }
  const to = join(folder, "pictures");
  await comparisonPictures({ baseline, followups: [answer], folder: to, baselineScale: scales.baseline });
  await small(join(to, "follow-up-1-side-by-side.jpg"), "align-side-by-side.jpg", 1100);
  await small(join(to, "follow-up-1-split-line.jpg"), "align-split-line.jpg", 760);
  await sharp(join(to, "follow-up-1-difference.png"))
    .resize({ width: 760 })
    .png({ palette: true, colours: 96 })
    .toFile(join(figures, "align-difference.png"));
}

/** Where the places lie that judged the map: blue rings agree, orange strokes lead to where the place was found instead. */
async function places(): Promise<void> {
  const take = (visit: number, moved: Partial<Camera>) =>
    renderPicture({
      scene: standardScene({
        skin: skinOf(5, 41),
        light: visit === 0 ? frontalLight() : ringLight(),
        things: [wound(0.3 * visit), lScale(2 * visit)],
      }),
      camera: standardCamera({ ...SIZE, ...moved }),
      seed: 200 + visit,
    });
  const [before, after] = [
    await take(0, {}),
    await take(1, { magnification: 0.27, rollDeg: 7, leanXDeg: -12 }),
  ];
  const laid = await alignPictures(greyOf(before), greyOf(after), { baseline: [], followup: [] });
  if (!laid.aligned) throw new Error(laid.reason);
  const k = 1000 / SIZE.widthPx;
  const patches = await withVision((cv, scope) => {
    const work = [before, after].map((p) => workPicture(cv, scope, greyOf(p), [])) as [
      ReturnType<typeof workPicture>,
      ReturnType<typeof workPicture>,
    ];
    const [a, b, c] = laid.homography;
    const toWork = [
      [a[0], a[1], a[2] * k],
      [b[0], b[1], b[2] * k],
      [c[0] / k, c[1] / k, c[2]],
    ] as const;
    return new Assessor(cv, scope, ...work).assess(toWork, COARSE).patches;
  });
  const unit = COARSE.reduction / k;
  const marks = patches.map(({ x, y, dx, dy }) => {
    const [px, py] = [x * unit, y * unit];
    if (Math.hypot(dx, dy) <= COARSE.tolerancePx) {
      return `<circle cx="${px}" cy="${py}" r="8" fill="none" stroke="#6cb8e6" stroke-width="3"/>`;
    }
    return `<path d="M${px} ${py}l${dx * unit} ${dy * unit}" stroke="#f08a4b" stroke-width="4"/>`;
  });
  const agree = patches.filter(({ dx, dy }) => Math.hypot(dx, dy) <= COARSE.tolerancePx).length;
  out(
    `places: ${agree} of ${patches.length} agree; weighted ${laid.agreement.toFixed(2)}; ${laid.warnings.join("; ") || "no warning"}`,
  );
  const overlay = Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${SIZE.widthPx}" height="${SIZE.heightPx}">${marks.join("")}</svg>`,
  );
  const drawn = await sharp(before.rgb, { raw: { width: SIZE.widthPx, height: SIZE.heightPx, channels: 3 } })
    .composite([{ input: overlay }])
    .png()
    .toBuffer();
  await sharp(drawn).resize({ width: 900 }).jpeg({ quality: 78 }).toFile(join(figures, "align-places.jpg"));
}

/** Pairs that mislead, each with what the tool said of it. */
async function failures(): Promise<void> {
  const backdrop = standardBackdrop({ folds: 1 });
  const body = { shape: "limb", widthMm: 84, axisDeg: 4 } as const;
  const take = (
    scene: Parameters<typeof standardScene>[0],
    camera: Partial<Camera>,
    seed: number,
  ): Promise<Picture> =>
    renderPicture({ scene: standardScene(scene), camera: standardCamera({ ...SIZE, ...camera }), seed });
  const flat = { skin: skinOf(2, 12), things: [wound(0)] };
  const first = await take(flat, {}, 301);
  const cylinder = { shape: "cylinder", radiusMm: 45, axisDeg: 0 } as const;
  const pairs: [string, Picture, Picture][] = [
    [
      "Two people on one cloth that did not move",
      await take({ skin: skinOf(2, 12), body, backdrop, things: [wound(0)] }, {}, 302),
      await take(
        { skin: skinOf(2, 31), body, backdrop, things: [{ ...wound(0), seed: 9 } as Thing] },
        {},
        303,
      ),
    ],
    [
      "Another person's skin",
      first,
      await take({ skin: skinOf(2, 55), things: [{ ...wound(0), seed: 9 } as Thing] }, {}, 304),
    ],
    ["The follow-up mirrored", first, mirrored(await take(flat, { rollDeg: 3 }, 305))],
    [
      "A limb of 9 cm seen from 20° to the side",
      await take({ ...flat, surface: cylinder }, {}, 306),
      await take({ ...flat, surface: cylinder }, { leanXDeg: 20 }, 307),
    ],
    [
      "A scale laid elsewhere, not left out",
      await take({ ...flat, things: [wound(0), lScale(0)] }, {}, 308),
      await take({ ...flat, things: [wound(0.3), lScale(4)] }, { magnification: 0.27, rollDeg: 5 }, 309),
    ],
    ["1:4 against 1:20", first, await take(flat, { magnification: 1 / 20 }, 310)],
  ];
  const panels: Panel[] = [];
  for (const [title, before, after] of pairs) panels.push(await failure(title, before, after));
  const { rgb, widthPx, heightPx } = await sheetOf(panels, 3);
  await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .jpeg({ quality: 76 })
    .toFile(join(figures, "align-failures.jpg"));
}

async function failure(title: string, before: Picture, after: Picture): Promise<Panel> {
  const files = [join(folder, "before.png"), join(folder, "after.png")] as const;
  for (const [i, p] of [before, after].entries()) {
    await sharp(p.rgb, { raw: { width: p.widthPx, height: p.heightPx, channels: 3 } }).toFile(files[i]!);
  }
  const answer = await alignFiles({ baseline: files[0], followup: files[1] });
  const frame = frameOf(SIZE, 380);
  const still = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ] as const;
  const a = await laidPicture(files[0], still, frame);
  const b = await laidPicture(files[1], answer.aligned ? answer.homography : still, frame);
  const says = answer.aligned ? answer.warnings.map((w) => `Warned: ${w}.`) : [`Refused: ${answer.reason}.`];
  const notes = says.length > 0 ? says : ["Aligned, no warning."];
  out(`${title}: ${notes.join(" ")}`);
  return { picture: splitOf(a, b), title, notes, overlay: splitLine(frame) };
}

function mirrored(picture: Picture): Picture {
  const { widthPx, heightPx } = picture;
  const rgb = new Uint8Array(picture.rgb.length);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const from = 3 * (y * widthPx + x);
      rgb.set(picture.rgb.subarray(from, from + 3), 3 * (y * widthPx + widthPx - 1 - x));
    }
  }
  return { ...picture, rgb };
}

async function small(file: string, name: string, widthPx: number): Promise<void> {
  await sharp(file).resize({ width: widthPx }).jpeg({ quality: 80 }).toFile(join(figures, name));
}
