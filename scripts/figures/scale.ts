import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { greyOf } from "../../packages/picture/src/decode/decode.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { edgeScale } from "../../packages/picture/src/scale/edge/edge-scale.ts";
import { findEdges } from "../../packages/picture/src/scale/find-edges.ts";
import { letteringOf } from "../../packages/picture/src/scale/numerals/lettering.ts";
import { readNumerals } from "../../packages/picture/src/scale/numerals/read-numerals.ts";
import { type FoundScales, readScale } from "../../packages/picture/src/scale/read-scale.ts";
import { pyramidOf } from "../../packages/picture/src/scale/search/pyramid.ts";
import {
  type Picture,
  renderPicture,
  standardCamera,
  type Thing,
} from "../../packages/simulator/src/index.ts";
import { legScene } from "../../packages/simulator/src/scenarios/subjects.ts";
import { Chart, svg, text } from "./drawing.ts";

/**
 * Draws the figures of docs/methods/scale.md from real runs and prints the numbers that stand beside them.
 *   node scripts/figures/scale.ts
 */
const folder = fileURLToPath(new URL("../../docs/methods/figures/", import.meta.url));
mkdirSync(folder, { recursive: true });
const out = (line: string) => process.stdout.write(`${line}\n`);

const READ = "#00b3a4";
const SEEN = "#c43e1c";

const camera = standardCamera({
  widthPx: 1500,
  heightPx: 1000,
  magnification: 1 / 4,
  focalMm: 100,
  leanXDeg: 12,
  leanYDeg: -9,
});
const things: Thing[] = [{ kind: "l-scale", placement: { xMm: -38, yMm: -22, rotateDeg: 5 }, legMm: 60 }];
const leaning = await renderPicture({ scene: legScene(0, things), camera, seed: 3 });
const reading = read(leaning);
await drawReading(leaning, reading);
await drawEdge(leaning, reading);
await drawFlat();

function read(picture: Picture): FoundScales {
  const found = readScale(greyOf(picture), { focalMm: 100, pixelMm: 36 / 1500 });
  if (!found.found) throw new Error(found.reason);
  return found;
}

/** The picture with every graduation that was used. */
async function drawReading(picture: Picture, { scales, plane, facingPxPerMm }: FoundScales): Promise<void> {
  const marks = scales.flatMap(({ ticks, axisDeg }) => {
    const a = ((axisDeg + 90) * Math.PI) / 180;
    const [dx, dy] = [9 * Math.cos(a), 9 * Math.sin(a)];
    return ticks.map(
      ({ x, y }) =>
        `<line x1="${x - dx}" y1="${y - dy}" x2="${x + dx}" y2="${y + dy}" stroke="${READ}" stroke-width="2"/>`,
    );
  });
  await composed(picture, marks.join(""), "read.jpg", 1100);
  const ratioTruth = camera.magnification;
  out(
    `read.jpg: ${scales.map((s) => `${s.ticks.length} graduations, ${s.pxPerMm.value.toFixed(3)} ± ${s.pxPerMm.u95.toFixed(3)} px/mm`).join("; ")}`,
  );
  out(
    `  lean ${plane?.tiltDeg.value.toFixed(2)} ± ${plane?.tiltDeg.u95.toFixed(2)}°, truth ${picture.truth.surface.leanDeg.toFixed(2)}°`,
  );
  const ratio = (facingPxPerMm.value * 36) / 1500;
  out(
    `  ratio 1:${(1 / ratio).toFixed(3)} ± ${((100 * facingPxPerMm.u95) / facingPxPerMm.value).toFixed(2)} %, truth 1:${(1 / ratioTruth).toFixed(3)}`,
  );
}

/** Along one leg: how far each graduation lies from the fitted law, and the law's px/mm against the truth's. */
async function drawEdge(picture: Picture, { scales }: FoundScales): Promise<void> {
  const edges = findEdges(pyramidOf(greyOf(picture)));
  const at = scales[0]!.at;
  const { row } = edges.find(({ row: r }) => {
    const p = r.strip.at(r.lattice.at((r.graduations[0]!.k + r.graduations.at(-1)!.k) / 2), 0);
    return Math.hypot(p.x - at.x, p.y - at.y) < 3;
  })!;
  const law = edgeScale(row);
  const residuals = row.graduations.map((g) => g.s - row.lattice.at(g.k));
  const numbers = row.graduations.map((g) => g.k);
  const spacing = numbers.map((k) => law.spacingPx(k));
  const [first, last] = [numbers[0]!, numbers.at(-1)!];
  const chart = new Chart(900, 420);
  chart.panel(30, 180, [first, last], [-0.05, 0.05], "px from the law", ["-0.04", "0", "0.04"]);
  residuals.forEach((r, i) => {
    chart.dot(numbers[i]!, r, READ);
  });
  const [low, high] = [Math.min(...spacing) - 0.05, Math.max(...spacing) + 0.05];
  chart.panel(
    230,
    380,
    [first, last],
    [low, high],
    "px per mm",
    [low, (low + high) / 2, high].map((v) => v.toFixed(2)),
  );
  for (let i = 1; i < numbers.length; i++) {
    chart.dot(
      (numbers[i]! + numbers[i - 1]!) / 2,
      (row.graduations[i]!.s - row.graduations[i - 1]!.s) / (numbers[i]! - numbers[i - 1]!),
      SEEN,
    );
  }
  chart.line(numbers, spacing, READ);
  await chart.write(`${folder}edge.png`);
  out(
    `edge.png: residual rms ${law.rmsPx.toFixed(3)} px over ${numbers.length} graduations, px/mm ${spacing[0]!.toFixed(3)} to ${spacing.at(-1)!.toFixed(3)}`,
  );
}

/** A worn two-sided scale laid flat, with the numerals that were read. */
async function drawFlat(): Promise<void> {
  const scale: Thing = {
    kind: "straight-scale",
    placement: { xMm: 0, yMm: 20, rotateDeg: -14 },
    lengthMm: 120,
    edges: ["mm", "inch/16"],
    style: { wear: 0.25, seed: 8 },
  };
  const picture = await renderPicture({
    scene: legScene(1, [scale]),
    camera: standardCamera({
      widthPx: 1500,
      heightPx: 1000,
      magnification: 1 / 4.4,
      leanXDeg: -18,
      leanYDeg: 10,
    }),
    seed: 4,
  });
  const levels = pyramidOf(greyOf(picture));
  const { row } = findEdges(levels).filter((e) => e.judgement.division?.unit === "mm")[0]!;
  const { flat } = letteringOf(levels, row)[0]!;
  const { sequence, word } = readNumerals(levels, row);
  const grey = Buffer.from(flat.ink.map((v) => 235 - 215 * Math.min(1, v)));
  const scaleUp = 1400 / flat.columns;
  const boxes = (sequence?.tokens ?? []).map(({ k, o, height, value }) => {
    const [x, y] = [(k - flat.firstK) * flat.perPitch * scaleUp, (o - flat.firstO) * flat.perPitch * scaleUp];
    const half = 0.75 * height * flat.perPitch * scaleUp;
    const frame = `<rect x="${x - half}" y="${y - half}" width="${2 * half}" height="${2 * half}" fill="none" stroke="${READ}" stroke-width="2"/>`;
    return frame + text(String(value), x, y + half + 16, 16, READ);
  });
  const base = sharp(grey, { raw: { width: flat.columns, height: flat.rows, channels: 1 } }).resize({
    width: 1400,
  });
  const { data, info } = await base.png().toBuffer({ resolveWithObject: true });
  await sharp(data)
    .composite([{ input: svg(info.width, info.height, boxes.join("")) }])
    .png({ palette: true })
    .toFile(`${folder}flat.png`);
  out(
    `flat.png: numerals ${sequence?.tokens.map((t) => t.value).join(" ")}, one per ${(1 / Math.abs(sequence?.perGraduation ?? 1)).toFixed(0)} graduations, log odds ${sequence?.logOdds.toFixed(1)}, word ${word?.unit ?? "none"}`,
  );
}

async function composed(picture: Picture, overlay: string, name: string, widthPx: number): Promise<void> {
  const raw = { width: picture.widthPx, height: picture.heightPx, channels: 3 } as const;
  const drawn = await sharp(picture.rgb, { raw })
    .composite([{ input: svg(picture.widthPx, picture.heightPx, overlay) }])
    .png()
    .toBuffer();
  await sharp(drawn)
    .resize({ width: widthPx })
    .jpeg({ quality: 80 })
    .toFile(folder + name);
}
