import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { readPracticeFolder } from "../packages/desk/src/practice/practice-folder.ts";
import { applyHomography, imagePoint, seededRandom } from "../packages/geometry/src/index.ts";
import { formatRatio } from "../packages/optics/src/index.ts";
import { alignFiles } from "../packages/picture/src/align/align-files.ts";
import { ghostOf } from "../packages/picture/src/render/ghost/ghost.ts";
import { scaleOfFile } from "../packages/picture/src/scale/scale-of-file.ts";
import { planViews, type RepeatWishes, repeatPlan } from "../packages/practice/src/index.ts";
import {
  type Camera,
  renderPicture,
  type SkinTone,
  standardCamera,
  standardScene,
  standardSkin,
  writePicture,
} from "../packages/simulator/src/index.ts";

/**
 * Rendered baselines that missed their planned ratio, and follow-ups made exactly by the repeat plan: with the same kit,
 * another lens, another body. Said of each: ratio read against true, scale change against what is expected, and how far
 * the wound's rim lies from its ghost.
 *   node bench/repeat.bench.ts [first seed] [count]
 */
const [first = 900, count = 3] = process.argv.slice(2).map(Number);
const SIZE = { widthPx: 1500, heightPx: 1000 } as const;
const KITS: readonly (readonly [string, RepeatWishes])[] = [
  ["same kit", {}],
  ["other lens", { lens: "macro-60" }],
  ["other body", { body: "body-2" }],
];
const out = (line: string) => process.stdout.write(`${line}\n`);
const folder = await mkdtemp(join(tmpdir(), "samescale-repeat-"));
const practice = await readPracticeFolder(
  fileURLToPath(new URL("../apps/cli/demo-practice", import.meta.url)),
);
const legWound = practice.viewSets.find(({ key }) => key === "leg-wound")!;
const plan = planViews({ ...legWound, views: legWound.views.slice(0, 1) }, practice);
const planned = plan.views[0]!;

async function frame(file: string, seed: number, visit: number, camera: Partial<Camera>) {
  const full = standardCamera({ ...SIZE, ...camera });
  const skin = standardSkin({
    tone: (1 + (seed % 6)) as SkinTone,
    seed,
    hairs: 1.2,
    moles: 1.6,
    vessels: 0.6,
  });
  const wound = {
    kind: "wound",
    id: "wound",
    placement: { xMm: 14, yMm: 9, rotateDeg: seed % 90 },
    seed,
    lengthMm: 42,
    widthMm: 28,
    healed: 0,
  } as const;
  const placement = { xMm: -30 + 3 * visit, yMm: -24 - 2 * visit, rotateDeg: -2 * visit };
  const things = [wound, { kind: "l-scale", placement, legMm: 60 } as const];
  const picture = await renderPicture({
    scene: standardScene({ skin, things }),
    camera: full,
    seed: 10 * seed + visit,
  });
  await writePicture(file, picture, full);
  const rim = picture.truth.things.flatMap(({ regions }) => regions).find(({ name }) => name === "wound")!;
  return rim.outlinePx;
}

try {
  out("seed  kit         reached  read off  to set   stands   scale change off  rim off its ghost");
  for (let seed = first; seed < first + count; seed++) {
    const random = seededRandom(seed);
    const magnification = planned.magnification * (0.9 + 0.2 * random());
    const baseline = join(folder, `${seed}.jpg`);
    const lean = { leanXDeg: 4 * random() - 2, leanYDeg: 4 * random() - 2 };
    const then = await frame(baseline, seed, 0, { magnification, ...lean });
    const scale = await scaleOfFile({ file: baseline });
    if (!scale.found) {
      out(`${seed}  not read: ${scale.reason}`);
      continue;
    }
    const { value: ratio } = scale.reproductionRatio!;
    const pxPerMm = { value: (ratio * SIZE.widthPx) / 36, u95: 0.1 };
    const done = {
      name: `${seed}`,
      sha256: "",
      date: "2026-03-02",
      verdict: { verdict: "your-choice", say: "" },
      planned,
      plannedBody: { id: plan.body.id, name: plan.body.name, longMm: 36 },
      picture: {
        ...SIZE,
        pxPerMm,
        ratio: scale.reproductionRatio,
        ratioFrom: null,
        leanDeg: null,
        scale: null,
        scaleHeightMm: null,
        chartFound: null,
        subject: null,
        light: null,
      },
      file: {
        camera: null,
        lens: null,
        focalMm: 100,
        fNumber: 16,
        exposureS: 1 / 160,
        iso: 200,
        flashFired: true,
        sensorLongMm: 36,
      },
    } as const;
    for (const [kit, wishes] of KITS) {
      const { views, body } = repeatPlan(plan, [done], { by: "baseline" }, practice, wishes);
      const view = views[0]!;
      const sensorMm = { width: body.sensor.widthMm, height: body.sensor.heightMm };
      const heightPx = Math.round((SIZE.widthPx * sensorMm.height) / sensorMm.width);
      const followup = join(folder, `${seed}-after.jpg`);
      const now = await frame(followup, seed, 1, {
        magnification: view.magnification,
        focalMm: view.focalMm,
        fNumber: view.fNumber,
        sensorMm,
        heightPx,
      });
      const scales = { baseline: scale, followup: await scaleOfFile({ file: followup }) };
      const aligned = await alignFiles({ baseline, followup, scales });
      const next = { widthPx: SIZE.widthPx, heightPx, pxPerMm: SIZE.widthPx / view.fieldMm.width };
      const ghost = await ghostOf({
        file: baseline,
        pxPerMm: pxPerMm.value,
        next,
        turnOver: false,
        scale,
        title: "",
        notes: [],
      });
      const k = ghost.widthPx / SIZE.widthPx;
      const off = then.map(([x, y], i) => {
        const at = applyHomography(ghost.baselineToGhost, imagePoint(x, y));
        return Math.hypot(at.x - k * now[i]![0], at.y - k * now[i]![1]) / ghost.widthPx;
      });
      const percent = (share: number) => `${(100 * share).toFixed(2)} %`;
      const expected = next.pxPerMm / pxPerMm.value;
      out(
        [
          `${seed}`.padEnd(6),
          kit.padEnd(12),
          formatRatio(magnification).padEnd(9),
          percent(ratio / magnification - 1).padEnd(10),
          formatRatio(view.magnification).padEnd(9),
          `${view.objectDistanceMm.toFixed(0)} mm`.padEnd(9),
          (aligned.aligned ? percent(aligned.scaleChange / expected - 1) : "not aligned").padEnd(18),
          percent(Math.max(...off)),
        ].join(""),
      );
    }
  }
} finally {
  await rm(folder, { recursive: true, force: true });
}
