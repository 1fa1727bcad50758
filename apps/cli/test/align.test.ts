import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import type { AlignAnswer } from "@samescale/picture";
import {
  renderPicture,
  standardCamera,
  standardScene,
  standardSkin,
  writePicture,
} from "@samescale/simulator";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-align-"));
after(() => rmSync(folder, { recursive: true }));

const run = (...args: string[]) =>
  spawnSync(process.execPath, [MAIN, ...args], { encoding: "utf8", cwd: folder });

/** The same skin twice: 35 mm nearer (100 mm lens: 520 mm at 1:4.2, 485 mm at 1:3.85), turned and aimed beside. */
const CAMERAS = [
  { magnification: 1 / 4.2, takenAt: "2026:03:02 09:00:00" },
  {
    magnification: 1 / 3.85,
    rollDeg: -6,
    targetMm: { x: -12, y: 0 },
    takenAt: "2026:03:16 09:00:00",
  },
];

before(async () => {
  const skin = standardSkin({ tone: 4, seed: 77, hairs: 2, moles: 1.2 });
  for (const [i, moved] of CAMERAS.entries()) {
    const camera = standardCamera({ widthPx: 1200, heightPx: 800, ...moved });
    const placement = { xMm: -38 + 6 * i, yMm: -24, rotateDeg: 3 * i };
    const scene = standardScene({ skin, things: [{ kind: "l-scale", placement, legMm: 50 }] });
    await writePicture(join(folder, `${i}.jpg`), await renderPicture({ scene, camera, seed: 7 + i }), camera);
  }
});

test("a follow-up is laid over by its skin; scales read now answer beside it; pictures are made", () => {
  const { status, stdout, stderr } = run(
    ...["align", "0.jpg", "1.jpg", "--scales", "auto", "--pictures", "compare", "--json"],
  );
  assert.equal(status, 0, stderr);
  const answer = JSON.parse(stdout) as AlignAnswer;
  assert.ok(answer.aligned, JSON.stringify(answer));
  for (const field of [
    ...["baseline", "followup", "aligned", "homography", "scaleChange", "rotationDeg", "shiftFraction"],
    ...["overlap", "residualPx", "matches", "warnings"],
  ]) {
    assert.ok(field in answer, field);
  }
  const { framing, sameRatio } = answer;
  // the interval of the distance is the focal length's; the picture itself is known far better
  assert.ok(Math.abs(framing!.nearerMm!.value - 35) < 2, `${framing!.nearerMm!.value} mm`);
  assert.ok(Math.abs(framing!.cameraTurnedDeg - 6) < 0.2);
  assert.ok(Math.abs(framing!.aimedOffMm!.x.value + 12) < 0.3);
  assert.equal(sameRatio?.agree, true);
  assert.ok(Math.abs(sameRatio!.byScales.value / sameRatio!.bySkin.value - 1) < 0.01);
  assert.deepEqual(readdirSync(join(folder, "compare")).toSorted(), [
    "all-visits.jpg",
    "follow-up-1-blink.webp",
    "follow-up-1-difference.png",
    "follow-up-1-side-by-side.jpg",
    "follow-up-1-split-line.jpg",
    "recipe.json",
  ]);

  const again = run("align", "0.jpg", "1.jpg", "--pictures", "compare");
  assert.equal(again.status, 2);
  assert.match(again.stderr, /something of that name already/);
});

test("in words: what differs, what to do now, and both answers to the ratio; by points and given readings", () => {
  // 8 % larger about the middle by the points, 8 % by the scales
  const reading = (file: string, pxPerMm: number) => ({
    ...{ file, widthPx: 1200, heightPx: 800, found: true, plane: null, warnings: [] },
    scales: [
      {
        ...{ kind: "straight", unit: "mm", axisDeg: 0, ticks: [], coverageMm: 50, residualPx: 0.1 },
        pxPerMm: { value: pxPerMm, u95: 0.001 * pxPerMm },
        at: { x: 600, y: 400 },
      },
    ],
    reproductionRatio: { value: (pxPerMm * 36) / 1200, u95: 1e-4 },
  });
  const readings = [reading("0.jpg", 8), reading("1.jpg", 8.64)].map((line) => JSON.stringify(line));
  writeFileSync(join(folder, "scales.ndjson"), readings.join("\n"));
  const placed = [
    [-100, -100],
    [100, -100],
    [100, 100],
    [-100, 100],
    [0, 50],
  ].map(([x, y]) => [600 + x!, 400 + y!, 600 + 1.08 * x!, 400 + 1.08 * y!]);
  writeFileSync(join(folder, "points.json"), JSON.stringify(placed));
  const { stdout, stderr } = run(
    ...["align", "0.jpg", "1.jpg", "--points", "points.json", "--scales", "scales.ndjson"],
  );
  // 1:4.167 and 1:3.858 with 100 mm: 517 and 486 mm
  assert.match(stdout, /the camera was nearer by 3 cm; it covers \d+ % of the baseline/, stderr);
  assert.match(stdout, /to repeat the baseline: Move 3 cm back\./);
  assert.match(stdout, /by the skin: 8\.0 ± \d\.\d %, by the two scales: 8\.0 ± \d\.\d %/);
});

test("what cannot be used is said by option", () => {
  const outline = {
    outline: [
      [500, 300],
      [700, 300],
      [700, 500],
    ],
    holes: [],
  };
  writeFileSync(join(folder, "outline.json"), JSON.stringify(outline));
  writeFileSync(join(folder, "nan.json"), "[[1,2,NaN,4]]");
  writeFileSync(
    join(folder, "other.ndjson"),
    '{"file":"x.jpg","widthPx":9,"heightPx":9,"found":false,"reason":"none"}\n',
  );
  for (const [args, says] of [
    [["--bend"], /--leave-out-baseline/],
    [["--points", "nan.json"], /not JSON/],
    [["--scales", "outline.json"], /not a reading|does not say/],
    [["--leave-out-baseline", "other.ndjson"], /other\.ndjson/],
    [["--pictures", "."], /something of that name/],
  ] as const) {
    const { status, stderr } = run("align", "0.jpg", "1.jpg", ...args);
    assert.ok(status === 1 || status === 2, `${args.join(" ")}: ${status}`);
    assert.match(stderr, says);
  }
  const missing = run("align", "0.jpg", "1.jpg", "--scales", "other.ndjson", "--json");
  assert.equal(missing.status, 1);
  assert.match(missing.stdout, /no line of other\.ndjson is about 0\.jpg/);
});
