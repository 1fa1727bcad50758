import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chartPicture } from "../../bench/colour-rendered/chart-picture.ts";
import { CHART24, publishedLabD50 } from "../../packages/picture/src/colour/chart24.ts";
import { colourOfPicture } from "../../packages/picture/src/colour/colour-of-file.ts";
import { correctPicture } from "../../packages/picture/src/colour/correct-picture.ts";
import { type Correction, corrected } from "../../packages/picture/src/colour/correction.ts";
import { matchColourOfFile } from "../../packages/picture/src/colour/match/match-of-file.ts";
import { labD50ToLinear, linearToSrgb, type Triple } from "../../packages/picture/src/colour/space.ts";
import type { ChartFound } from "../../packages/picture/src/colour-answers.ts";
import { decodeBytes } from "../../packages/picture/src/decode/decode.ts";
import type { UprightPicture } from "../../packages/picture/src/decode/picture.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import {
  type Camera,
  encodePicture,
  evenLight,
  frontalLight,
  renderPicture,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../../packages/simulator/src/index.ts";
import { QUIET, svg, text } from "./drawing.ts";

/**
 * Draws the figures of docs/methods/colour.md from real runs and prints the numbers that stand beside them.
 *   node scripts/figures/colour.ts
 */
const folder = fileURLToPath(new URL("../../docs/methods/figures/", import.meta.url));
mkdirSync(folder, { recursive: true });
const out = (line: string) => process.stdout.write(`${line}\n`);
const FOUND = "#00b3a4";

/** A chart beside a wound under a wrong white balance, one patch covered; and every patch as seen and as corrected. */
async function drawCorrection(): Promise<void> {
  const at = { xMm: -42, yMm: 18, rotateDeg: -20 };
  const things: Thing[] = [
    { kind: "wound", seed: 6, lengthMm: 46, widthMm: 30, placement: { xMm: 30, yMm: -8 } },
    { kind: "chart", patchMm: 9, placement: at },
    { kind: "disc", diameterMm: 9, rgb: [0.3, 0.32, 0.5], placement: { xMm: -29, yMm: 18 } },
  ];
  const camera = standardCamera({
    widthPx: 1500,
    heightPx: 1000,
    magnification: 0.2,
    leanXDeg: 15,
    leanYDeg: -10,
    exposureStops: -0.7,
    whiteBalanceK: 4300,
  });
  const scene = standardScene({ skin: standardSkin({ tone: 3, seed: 12 }), light: frontalLight(), things });
  const bytes = await encodePicture(await renderPicture({ scene, camera, seed: 8 }), camera, "jpeg");
  const picture = await decodeBytes(bytes, "colour.jpg");
  const answer = colourOfPicture(picture, { file: "colour.jpg", chartEdition: "before-2014" });
  if (!answer.found) throw new Error(answer.reason);
  out(`colour.jpg: ${told(answer)}`);
  const marks = answer.patches.map(({ at: [x, y], leftOut }) =>
    leftOut === null
      ? `<circle cx="${x}" cy="${y}" r="7" fill="none" stroke="${FOUND}" stroke-width="3"/>`
      : `<path d="M${x - 9} ${y - 9}L${x + 9} ${y + 9}M${x + 9} ${y - 9}L${x - 9} ${y + 9}" stroke="#ffffff" stroke-width="4"/>`,
  );
  const outline = `<polygon points="${answer.corners.map((c) => c.join(",")).join(" ")}" fill="none" stroke="${FOUND}" stroke-width="2"/>`;
  await sideBySide(
    [await shown(picture, outline + marks.join("")), await shown(correctPicture(picture, answer.correction))],
    "colour.jpg",
  );
  await drawPatches(picture, answer);
}

const told = ({ deltaE00, correction, judgements, warnings }: ChartFound): string =>
  `ΔE00 ${deltaE00.before.mean.toFixed(2)} before, ${deltaE00.after.mean.toFixed(2)} after, ${deltaE00.crossValidated.mean.toFixed(2)} cross-validated (worst ${deltaE00.crossValidated.max.toFixed(1)}), ${correction.kind}\n  ${[...judgements.filter((j) => !j.doubtful).map((j) => j.say), ...warnings].join("\n  ")}`;

/** Each patch in three parts: its reference, as the picture has it, as corrected; below it the remaining ΔE00. */
async function drawPatches(picture: UprightPicture, answer: ChartFound): Promise<void> {
  const SIDE = 96;
  const reference = publishedLabD50("before-2014");
  const body = answer.patches.map(({ at, leftOut, deltaE00 }, i) => {
    const [x, y] = [20 + (i % 6) * (SIDE + 14), 16 + Math.floor(i / 6) * (SIDE + 36)];
    const seen = at.map(Math.floor) as [number, number];
    const k = 3 * (seen[1] * picture.widthPx + seen[0]);
    const coded: Triple = [picture.rgb[k]! / 255, picture.rgb[k + 1]! / 255, picture.rgb[k + 2]! / 255];
    const after = corrected(answer.correction satisfies Correction, coded).map(code) as unknown as Triple;
    const want = labD50ToLinear(reference[i]!).map(code) as unknown as Triple;
    const half = SIDE / 2;
    const figure = leftOut === null ? deltaE00!.toFixed(1) : "left out";
    return [
      `<rect x="${x}" y="${y}" width="${half}" height="${SIDE}" fill="${css(want)}"/>`,
      `<rect x="${x + half}" y="${y}" width="${half}" height="${half}" fill="${css(coded)}"/>`,
      `<rect x="${x + half}" y="${y + half}" width="${half}" height="${half}" fill="${css(after)}"/>`,
      text(figure, x + half, y + SIDE + 13, 11, QUIET),
    ].join("");
  });
  const [w, h] = [40 + 6 * (SIDE + 14) - 14, 16 + 4 * (SIDE + 36)];
  const grey = `<rect width="${w}" height="${h}" fill="#ffffff"/>`;
  await sharp(svg(w, h, grey + body.join("")))
    .png({ palette: true })
    .toFile(`${folder}colour-patches.png`);
  out(`colour-patches.png: ${CHART24.length} patches`);
}

const code = (v: number): number => linearToSrgb(Math.min(1, Math.max(0, v)));
const css = (rgb: Triple): string => `rgb(${rgb.map((v) => Math.round(255 * v)).join(",")})`;

/** Two lamps on one chart: the correction serves neither side. */
async function drawFailure(): Promise<void> {
  const SEED = 20300;
  const { jpeg, facts } = await chartPicture(SEED);
  const picture = await decodeBytes(jpeg, "colour-two-lamps.jpg");
  const answer = colourOfPicture(picture, { file: "colour-two-lamps.jpg", chartEdition: "before-2014" });
  if (!answer.found) throw new Error(answer.reason);
  out(`colour-two-lamps.jpg: seed ${SEED}, ${facts.conditions.join(" + ")}: ${told(answer)}`);
  await sideBySide(
    [await shown(picture), await shown(correctPicture(picture, answer.correction))],
    "colour-two-lamps.jpg",
  );
}

/** Baseline, follow-up with a redder surround under other light, the same matched. */
async function drawMatch(): Promise<void> {
  const at = mkdtempSync(join(tmpdir(), "samescale-figures-"));
  try {
    const shot = async (name: string, erythemaMm: number, moved: Partial<Camera>) => {
      const camera = standardCamera({ widthPx: 900, heightPx: 600, magnification: 0.3, ...moved });
      const things: Thing[] = [
        { kind: "wound", seed: 3, lengthMm: 30, widthMm: 20, placement: { xMm: 4, yMm: 0 }, erythemaMm },
      ];
      const scene = standardScene({ skin: standardSkin({ tone: 2, seed: 21 }), light: evenLight(), things });
      const file = join(at, name);
      writeFileSync(
        file,
        await encodePicture(await renderPicture({ scene, camera, seed: 4 }), camera, "jpeg"),
      );
      return file;
    };
    const baseline = await shot("baseline.jpg", 5, {});
    const followup = await shot("followup.jpg", 22, {
      whiteBalanceK: 7000,
      exposureStops: -0.5,
      rollDeg: 3,
      targetMm: { x: 2, y: 1 },
    });
    const to = join(at, "matched.png");
    const answer = await matchColourOfFile({ file: followup, baseline, correctedFile: to });
    if (!answer.found) throw new Error(answer.reason);
    const { before, crossValidated } = answer.deltaE00;
    out(
      `colour-match.jpg: ΔE00 ${before.mean.toFixed(2)} before, ${crossValidated.mean.toFixed(2)} cross-validated, ${answer.places} places, ${(100 * answer.changedShare).toFixed(0)} % left out\n  ${[...answer.chain, ...answer.warnings].join("\n  ")}`,
    );
    const panels = [baseline, followup, to].map((file) => sharp(file).resize(PANEL_PX).png().toBuffer());
    await sideBySide(await Promise.all(panels), "colour-match.jpg");
  } finally {
    rmSync(at, { recursive: true });
  }
}

const PANEL_PX = 520;

async function shown({ rgb, widthPx, heightPx }: UprightPicture, marks = ""): Promise<Buffer> {
  const whole = await sharp(rgb, { raw: { width: widthPx, height: heightPx, channels: 3 } })
    .composite([{ input: svg(widthPx, heightPx, marks) }])
    .png()
    .toBuffer();
  return await sharp(whole).resize(PANEL_PX).png().toBuffer();
}

async function sideBySide(panels: readonly Buffer[], name: string): Promise<void> {
  const { height = 0 } = await sharp(panels[0]).metadata();
  const GAP = 8;
  const width = panels.length * (PANEL_PX + GAP) - GAP;
  await sharp({ create: { width, height, channels: 3, background: "#ffffff" } })
    .composite(panels.map((input, i) => ({ input, left: i * (PANEL_PX + GAP), top: 0 })))
    .jpeg({ quality: 82 })
    .toFile(`${folder}${name}`);
}

await drawCorrection();
await drawFailure();
await drawMatch();
