import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { bedsidePicture, type Planted } from "../../bench/bedside-checks/picture.ts";
import { look } from "../../packages/picture/src/checks/look.ts";
import { cellsNearScales, scaleLines } from "../../packages/picture/src/checks/near-scale.ts";
import { type FrameParts, partsOfFrame } from "../../packages/picture/src/checks/parts-of-frame.ts";
import { type Reduced, reduced } from "../../packages/picture/src/checks/reduced.ts";
import { decodeBytes, wholeGreyOf } from "../../packages/picture/src/decode/decode.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import type { LookAnswer } from "../../packages/picture/src/look-answer.ts";
import { QUIET, svg, text } from "./drawing.ts";

/**
 * Draws the figure of docs/methods/bedside.md from real runs and prints the numbers that stand beneath each frame.
 *   node scripts/figures/bedside.ts
 */
const folder = fileURLToPath(new URL("../../docs/methods/figures/", import.meta.url));
mkdirSync(folder, { recursive: true });

type Seen = Omit<LookAnswer, "file" | "warnings">;

const FRAMES: readonly (readonly [seed: number, planted: Planted, say: (seen: Seen) => string])[] = [
  [
    1001,
    { what: "nothing" },
    ({ subject, light }) =>
      `runs out left ${subject.judged && percent(subject.runsOut.left)}, light from ${light.judged && light.fromDeg.toFixed(0)} degrees`,
  ],
  [
    1007,
    { what: "focus", blurPx: 8, scaleSharp: true },
    ({ focus }) => `blur: skin ${blur(focus.subject)} px, scale ${blur(focus.scale)} px`,
  ],
  [
    1024,
    { what: "exposure", stops: 1 },
    ({ exposure }) => `burnt out: ${exposure.judged && percent(exposure.burntOut.largestShare)} of the skin`,
  ],
  [
    1035,
    { what: "cut off", share: 0.3 },
    ({ subject }) => `cut off by ${subject.judged && percent(subject.runsOut.bottom)} of the lower border`,
  ],
  [
    1011,
    { what: "creases", folds: 1.4 },
    ({ backdrop }) => `creases ${backdrop.judged && backdrop.creases.toFixed(2)}`,
  ],
  [
    1014,
    { what: "shadow", strength: 0.4 },
    ({ backdrop }) => `shadow of ${backdrop.judged && backdrop.shadowStops.toFixed(2)} stops`,
  ],
];

const percent = (share: number): string => `${Math.round(100 * share)} %`;
const blur = (seen: Seen["focus"]["subject"]): string => (seen.judged ? seen.blurPx.value.toFixed(1) : "?");

const [WIDE, HIGH, LINE] = [480, 320, 34];
const panels: { input: Buffer; left: number; top: number }[] = [];
for (const [i, [seed, planted, say]] of FRAMES.entries()) {
  const { jpeg, scale } = await bedsidePicture(seed, planted, 1500);
  const picture = await decodeBytes(jpeg, "bedside");
  const cells = reduced(picture);
  const parts = partsOfFrame(cells, cellsNearScales(cells, scaleLines(scale)));
  const seen = look(cells, wholeGreyOf(picture), scale);
  const caption = say(seen);
  process.stdout.write(`seed ${seed}, ${JSON.stringify(planted)}: ${caption}\n`);
  const [left, top] = [(i % 3) * (WIDE + 8), Math.floor(i / 3) * (HIGH + LINE + 8)];
  panels.push({ input: await drawn(jpeg, cells, parts), left, top });
  panels.push({
    input: await sharp(svg(WIDE, LINE, text(caption, WIDE / 2, 22, 11, QUIET)))
      .png()
      .toBuffer(),
    left,
    top: top + HIGH,
  });
}
const figure = sharp({
  create: { width: 3 * WIDE + 16, height: 2 * (HIGH + LINE) + 8, channels: 3, background: "white" },
});
writeFileSync(`${folder}bedside.jpg`, await figure.composite(panels).jpeg({ quality: 80 }).toBuffer());

/** The frame, what goes for backdrop veiled, and the subject's edge drawn. */
async function drawn(jpeg: Buffer, { columns, rows }: Reduced, parts: FrameParts | null): Promise<Buffer> {
  const veil = Buffer.alloc(columns * rows * 4);
  for (let i = 0; i < columns * rows; i++) {
    const beside = [i + 1, i + columns].some(
      (j) => j < columns * rows && parts?.subject[i] !== parts?.subject[j],
    );
    if (beside) veil.set([255, 176, 0, 255], 4 * i);
    else if (parts?.backdrop[i]) veil.set([255, 255, 255, 90], 4 * i);
  }
  const over = await sharp(veil, { raw: { width: columns, height: rows, channels: 4 } })
    .resize(WIDE, HIGH, { fit: "fill", kernel: "nearest" })
    .png()
    .toBuffer();
  return await sharp(jpeg)
    .resize(WIDE, HIGH, { fit: "fill" })
    .composite([{ input: over }])
    .png()
    .toBuffer();
}
