import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { ghostOf } from "../../packages/picture/src/render/ghost/ghost.ts";
import { scaleOfFile } from "../../packages/picture/src/scale/scale-of-file.ts";
import {
  type Camera,
  renderPicture,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
  writePicture,
} from "../../packages/simulator/src/index.ts";

/**
 * Draws the figure of docs/repeat.md: the ghost of a baseline over the follow-up, before the hand moved and after.
 *   node scripts/figures/repeat.ts
 */
const figure = fileURLToPath(new URL("../../docs/images/repeat-ghost.jpg", import.meta.url));
const folder = await mkdtemp(join(tmpdir(), "samescale-figures-"));
const PANEL = { width: 620, height: 413 } as const;
const GAP = 10;

const thingsOf = (visit: number): Thing[] => [
  {
    kind: "wound",
    id: "wound",
    placement: { xMm: 6, yMm: 6, rotateDeg: 18 },
    seed: 5,
    lengthMm: 42,
    widthMm: 28,
    healed: 0.2 * visit,
    slough: 0.4 - 0.3 * visit,
    erythemaMm: 8,
    wet: 0.5,
  },
  {
    kind: "l-scale",
    placement: { xMm: -34 + 5 * visit, yMm: -26 - 2 * visit, rotateDeg: 3 * visit },
    legMm: 60,
  },
];

async function frame(name: string, visit: number, camera: Partial<Camera>): Promise<string> {
  const full = standardCamera({ widthPx: 2400, heightPx: 1600, ...camera });
  const skin = standardSkin({ tone: 3, seed: 77, hairs: 0.8, moles: 2, vessels: 0.5 });
  const picture = await renderPicture({
    scene: standardScene({ skin, things: thingsOf(visit) }),
    camera: full,
    seed: 3 + visit,
  });
  const file = join(folder, name);
  await writePicture(file, picture, full);
  return file;
}

try {
  const baseline = await frame("baseline.jpg", 0, { magnification: 1 / 4.15 });
  const scale = await scaleOfFile({ file: baseline });
  if (!scale.found) throw new Error(scale.reason);
  const pxPerMm = scale.scales[0]!.pxPerMm.value;
  const ghost = await ghostOf({
    file: baseline,
    pxPerMm,
    next: { widthPx: 2400, heightPx: 1600, pxPerMm },
    turnOver: false,
    scale,
    title: "",
    notes: [],
  });
  const first = await frame("first.jpg", 1, {
    magnification: 1 / 4.6,
    targetMm: { x: -7, y: 4 },
    rollDeg: 4,
  });
  const second = await frame("second.jpg", 1, { magnification: 1 / 4.15 });
  const panels = await Promise.all([first, second].map((file) => under(file, ghost.png)));
  await sharp({
    create: {
      width: 2 * PANEL.width + GAP,
      height: PANEL.height,
      channels: 3,
      background: "#ffffff",
    },
  })
    .composite(panels.map((input, i) => ({ input, left: i * (PANEL.width + GAP), top: 0 })))
    .jpeg({ quality: 82 })
    .toFile(figure);
} finally {
  await rm(folder, { recursive: true, force: true });
}

/** The live picture with the ghost laid over it. */
async function under(file: string, ghost: Uint8Array): Promise<Buffer> {
  const over = await sharp(ghost)
    .resize({ ...PANEL, fit: "fill" })
    .toBuffer();
  return await sharp(file)
    .resize({ ...PANEL, fit: "fill" })
    .composite([{ input: over }])
    .png()
    .toBuffer();
}
