import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { matchColourOfFile } from "../packages/picture/src/colour/match/match-of-file.ts";
import {
  type Camera,
  encodePicture,
  evenLight,
  frontalLight,
  type Light,
  obliqueLight,
  renderPicture,
  ringLight,
  type SkinTone,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../packages/simulator/src/index.ts";

/**
 * A follow-up brought to its baseline's colours, on rendered skin of six tones. What changed for real must not be taken
 * away: the gains with the change are compared with those of the very same light without it. Taken from one place, so
 * that alignment, which has a bench of its own, has no part in it.
 *   node bench/colour-match-rendered.bench.ts [first seed, 500] [number of seeds, 12]
 */
const [FIRST = 500, COUNT = 12] = process.argv.slice(2).map(Number);
const out = (line: string) => process.stdout.write(`${line}\n`);
const SAME_PLACE = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
] as const;

const wound = (seed: number, erythemaMm: number, healed = 0): Thing => ({
  kind: "wound",
  seed,
  lengthMm: 30,
  widthMm: 20,
  placement: { xMm: 5, yMm: 0 },
  erythemaMm,
  healed,
});
const bruise = (seed: number, sideMm: number): Thing => ({
  kind: "bruise",
  days: 1,
  seed,
  lengthMm: sideMm,
  widthMm: 0.9 * sideMm,
  placement: { xMm: -25, yMm: 5 },
});

/** What is different in the follow-up besides its light. */
const CHANGES: Readonly<Record<string, (seed: number) => Thing[]>> = {
  nothing: (seed) => [wound(seed, 6)],
  "half healed": (seed) => [wound(seed, 6, 0.5)],
  "red surround of 22 mm": (seed) => [wound(seed, 22)],
  "bruise over a fifth": (seed) => [wound(seed, 6), bruise(seed, 50)],
  "bruise over a half": (seed) => [wound(seed, 6), bruise(seed, 95)],
};
const LIGHTS: readonly Light[] = [evenLight(), frontalLight(), ringLight(), obliqueLight()];

interface Row {
  readonly change: string;
  readonly tone: number;
  readonly side: boolean;
  readonly before: number;
  readonly crossValidated: number;
  readonly changedShare: number;
  /** How far the correction was pulled from that of the unchanged twin: red and blue against green, and brightness. */
  readonly pulledColour: number;
  readonly pulledLight: number;
  readonly warned: boolean;
}

const folder = mkdtempSync(join(tmpdir(), "samescale-match-bench-"));
const rows: Row[] = [];
const refused: string[] = [];
try {
  for (let seed = FIRST; seed < FIRST + COUNT; seed++) await pairsOf(seed);
} finally {
  rmSync(folder, { recursive: true });
}
const mean = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / values.length;
const worst = (values: readonly number[]) => (100 * Math.max(...values)).toFixed(1).padStart(9);
const line = (name: string, some: readonly Row[]) =>
  out(
    `${name.padEnd(26)} ${String(some.length).padStart(4)} ${mean(some.map((r) => r.before))
      .toFixed(2)
      .padStart(7)} ${mean(some.map((r) => r.crossValidated))
      .toFixed(2)
      .padStart(7)} ${Math.max(...some.map((r) => r.crossValidated))
      .toFixed(2)
      .padStart(
        7,
      )} ${(100 * mean(some.map((r) => r.changedShare))).toFixed(0).padStart(8)} ${worst(some.map((r) => r.pulledColour))} ${worst(some.map((r) => r.pulledLight))} ${String(some.filter((r) => r.warned).length).padStart(7)}`,
  );
out(`${"".padEnd(26)} pairs  before  cross-validated left out  pulled, worst %    warned`);
out(`${"".padEnd(26)}       ΔE00    mean   worst        %   colour     light`);
line("all", rows);
for (const change of Object.keys(CHANGES))
  line(
    change,
    rows.filter((r) => r.change === change),
  );
for (let tone = 1; tone <= 6; tone++)
  line(
    `skin tone ${tone}`,
    rows.filter((r) => r.tone === tone),
  );
line(
  "light from one side",
  rows.filter((r) => r.side),
);
line(
  "other lights",
  rows.filter((r) => !r.side),
);
out(`refused: ${refused.length > 0 ? refused.join("; ") : "none"}`);

async function pairsOf(seed: number): Promise<void> {
  const tone = (1 + (seed % 6)) as SkinTone;
  const shot = async (name: string, things: readonly Thing[], light: Light, moved: Partial<Camera>) => {
    const camera = standardCamera({ widthPx: 900, heightPx: 600, magnification: 0.3, ...moved });
    const scene = standardScene({ skin: standardSkin({ tone, seed }), things, light });
    const file = join(folder, name);
    writeFileSync(file, await encodePicture(await renderPicture({ scene, camera, seed }), camera, "jpeg"));
    return file;
  };
  const baseline = await shot("baseline.jpg", [wound(seed, 6)], evenLight(), {});
  const light = LIGHTS[seed % LIGHTS.length]!;
  const moved = {
    whiteBalanceK: [4200, 4900, 6200, 7000][(seed >> 1) % 4]!,
    exposureStops: [-0.6, -0.3, 0.2][seed % 3]!,
  };
  let twin: readonly number[] | null = null;
  for (const [change, thingsOf] of Object.entries(CHANGES)) {
    const file = await shot("followup.jpg", thingsOf(seed), light, moved);
    const answer = await matchColourOfFile({ file, baseline, homography: SAME_PLACE });
    if (!answer.found) {
      refused.push(`seed ${seed}, ${change}: ${answer.reason}`);
      continue;
    }
    const gains = answer.correction.matrix.map((row, c) => row[c]!);
    twin ??= gains;
    rows.push({
      change,
      tone,
      side: light === LIGHTS[3],
      before: answer.deltaE00.before.mean,
      crossValidated: answer.deltaE00.crossValidated.mean,
      changedShare: answer.changedShare,
      pulledColour: Math.max(
        ...[0, 2].map((c) => Math.abs(gains[c]! / gains[1]! / (twin![c]! / twin![1]!) - 1)),
      ),
      pulledLight: Math.abs(gains[1]! / twin[1]! - 1),
      warned: answer.warnings.length > 1,
    });
  }
}
