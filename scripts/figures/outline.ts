import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { renderedSubject, WIDTH_PX } from "../../bench/outline/rendered-subject.ts";
import type { OutlineRegion, XY } from "../../packages/picture/src/answers.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { type OutlineStep, outlineBySteps } from "../../packages/picture/src/outline/index.ts";
import { dice, filled } from "../../packages/picture/test/outline/drawn.ts";
import { svg, text } from "./drawing.ts";

/**
 * Draws the figures of docs/methods/outline.md from real runs on rendered pictures and prints what stands beside them.
 *   node scripts/figures/outline.ts [FAILED_SEED …]
 */
const folder = fileURLToPath(new URL("../../docs/methods/figures/", import.meta.url));
mkdirSync(folder, { recursive: true });

const FOUND = "#00e0d0";
const DOUBT = "#ffb000";
const TRUTH = "#ffffff";
const CLICK = "#ffffff";
const PANEL = { width: 360, height: 270, caption: 26 };

interface Panel {
  readonly seed: number;
  readonly words: string;
  readonly steps: (truth: readonly XY[], middle: XY) => readonly OutlineStep[];
  readonly showTruth?: boolean;
}

const click = (_: readonly XY[], middle: XY): readonly OutlineStep[] => [
  { do: "click", at: middle, inside: true },
];

// Seeds of one round: every subject, light and dark skin, in the order in which they come.
await sheet("outlined.jpg", 3, [
  { seed: 576, words: "wound, very light skin", steps: click },
  { seed: 577, words: "lesion, very light skin", steps: click },
  { seed: 578, words: "bruise, very light skin", steps: click },
  { seed: 591, words: "wound, dark skin", steps: click },
  { seed: 592, words: "lesion, dark skin", steps: click },
  { seed: 593, words: "bruise, dark skin", steps: click },
]);

const onRim = (truth: readonly XY[], count: number): XY[] =>
  Array.from({ length: count }, (_, k) => truth[Math.floor((k * truth.length) / count)]!);
const away = ([x, y]: XY, [mx, my]: XY, by: number): XY => [mx + by * (x - mx), my + by * (y - my)];
await sheet("outline-tools.jpg", 4, [
  { seed: 582, words: "one click", steps: click },
  {
    seed: 582,
    words: "five clicks on the rim",
    steps: (truth) => [{ do: "rim", points: onRim(truth, 5), inside: true }],
  },
  {
    seed: 582,
    words: "a click, then the brush",
    steps: (truth, middle) => [
      ...click(truth, middle),
      {
        do: "brush",
        points: [0, 0.04, 0.08].map((s) => truth[Math.floor(s * truth.length)]!),
        radiusPx: 22,
        inside: true,
      },
    ],
  },
  {
    seed: 582,
    words: "a swelling drawn by hand",
    steps: (truth, middle) => [
      { do: "draw", points: onRim(truth, 24).map((p) => away(p, middle, 1.35)), inside: true },
    ],
  },
]);

const failed = process.argv.slice(2).map(Number);
if (failed.length > 0) {
  await sheet(
    "outline-failures.jpg",
    3,
    failed.map((seed) => ({ seed, words: "", steps: click, showTruth: true })),
  );
}

async function sheet(name: string, columns: number, panels: readonly Panel[]): Promise<void> {
  const cells: { input: Buffer; left: number; top: number }[] = [];
  for (const [i, panel] of panels.entries()) {
    const left = (i % columns) * (PANEL.width + 8);
    const top = Math.floor(i / columns) * (PANEL.height + PANEL.caption);
    cells.push({ input: await drawn(panel), left, top });
  }
  const rows = Math.ceil(panels.length / columns);
  await sharp({
    create: {
      width: columns * (PANEL.width + 8) - 8,
      height: rows * (PANEL.height + PANEL.caption),
      channels: 3,
      background: "#ffffff",
    },
  })
    .composite(cells)
    .jpeg({ quality: 80 })
    .toFile(`${folder}${name}`);
}

async function drawn({ seed, words, steps, showTruth }: Panel): Promise<Buffer> {
  const { picture, truth, outlinePx, subject, tone } = await renderedSubject(seed);
  const middle = [0, 1].map((c) => outlinePx.reduce((sum, p) => sum + p[c]!, 0) / outlinePx.length) as [
    number,
    number,
  ];
  const taken = steps(outlinePx, middle);
  const { regions } = outlineBySteps(picture, taken);
  const score = dice(filled(regions, picture.widthPx, picture.heightPx), truth);
  process.stdout.write(`seed ${seed} ${subject} tone ${tone} ${words}: Dice ${score.toFixed(3)}\n`);

  // The window: twice what is to be seen, in the panel's shape, within the picture.
  const reach = Math.max(
    ...outlinePx.map(([x, y]) => Math.max(Math.abs(x - middle[0]), Math.abs(y - middle[1]))),
  );
  const height = Math.min(picture.heightPx, Math.round(Math.max(3.2 * reach, 90)));
  const width = Math.min(picture.widthPx, Math.round((height * PANEL.width) / PANEL.height));
  const clamp = (v: number, most: number) => Math.round(Math.min(most, Math.max(0, v)));
  const left = clamp(middle[0] - width / 2, WIDTH_PX - width);
  const top = clamp(middle[1] - height / 2, picture.heightPx - height);
  const scale = PANEL.width / width;
  const at = ([x, y]: XY) => `${((x - left) * scale).toFixed(1)},${((y - top) * scale).toFixed(1)}`;
  const ring = (points: readonly XY[], stroke: string, more = "") =>
    `<polygon points="${points.map(at).join(" ")}" fill="none" stroke="${stroke}" stroke-width="2" ${more}/>`;
  const marks = [
    ...(showTruth ? [ring(outlinePx, TRUTH, 'stroke-dasharray="5 4"')] : []),
    ...regions.flatMap((region) => [...region.holes, region.outline].map((r) => ring(r, FOUND))),
    ...regions.flatMap((region) =>
      doubts(region).map(
        (points) =>
          `<polyline points="${points.map(at).join(" ")}" fill="none" stroke="${DOUBT}" stroke-width="4"/>`,
      ),
    ),
    ...taken.flatMap((step) =>
      pointsOf(step).map(
        (p) =>
          `<circle cx="${at(p).split(",")[0]}" cy="${at(p).split(",")[1]}" r="4" fill="none" stroke="${CLICK}" stroke-width="2"/>`,
      ),
    ),
  ];
  const raw = { width: picture.widthPx, height: picture.heightPx, channels: 3 } as const;
  const cut = await sharp(picture.rgb, { raw })
    .extract({ left, top, width, height })
    .resize({ width: PANEL.width, height: PANEL.height, fit: "fill" })
    .png()
    .toBuffer();
  const isPointed = taken.every((step) => step.do === "click" || step.do === "rim");
  const caption = text(
    `${words || `seed ${seed}: ${subject}, tone ${tone}`}${isPointed ? `, Dice ${score.toFixed(2)}` : ""}`,
    2,
    PANEL.height + 14,
    9,
    "#000000",
    -1,
  );
  return await sharp({
    create: { width: PANEL.width, height: PANEL.height + PANEL.caption, channels: 3, background: "#ffffff" },
  })
    .composite([
      { input: cut, left: 0, top: 0 },
      { input: svg(PANEL.width, PANEL.height, marks.join("")), left: 0, top: 0 },
      { input: svg(PANEL.width, PANEL.height + PANEL.caption, caption), left: 0, top: 0 },
    ])
    .png()
    .toBuffer();
}

/** What a person touched; a drawn line is the outline itself. */
function pointsOf(step: OutlineStep): readonly XY[] {
  if (step.do === "click") return [step.at];
  return step.do === "rim" || step.do === "brush" ? step.points : [];
}

function doubts({ outline, uncertain = [] }: OutlineRegion): XY[][] {
  return uncertain.map(({ fromIndex, toIndex }) => {
    const count = (toIndex - fromIndex + outline.length) % outline.length || outline.length;
    return Array.from({ length: count + 1 }, (_, k) => outline[(fromIndex + k) % outline.length]!);
  });
}
