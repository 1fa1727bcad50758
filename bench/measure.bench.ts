import { spawnSync } from "node:child_process";
import { cpus } from "node:os";
import { fileURLToPath } from "node:url";
import { invertHomography } from "../packages/geometry/src/index.ts";
import type { ScaleFound } from "../packages/picture/src/answers.ts";
import { measureRegions } from "../packages/picture/src/planimetry/measure-regions.ts";
import { sceneTruth, standardCamera, standardScene } from "../packages/simulator/src/index.ts";

/**
 * Time to measure an outline of a 24 megapixel picture once its scale is read: sizes with their budget, flat and on a limb,
 * beside a general vision library in Python that works out the same sizes as often as the budget needs them, without any
 * uncertainty. The least of the runs, as a busy machine only adds.
 *   node bench/measure.bench.ts [POINTS]
 */
const [points = 2000] = process.argv.slice(2).map(Number);
const RUNS = 30;
/** With a plane the lean alone is tried in so many directions, on a thinned outline. */
const RE_EVALUATIONS = 13;

const camera = standardCamera({
  widthPx: 6000,
  heightPx: 4000,
  magnification: 1 / 4,
  focalMm: 100,
  leanXDeg: 8,
  leanYDeg: -5,
});
const wound = { kind: "wound", placement: { xMm: 10, yMm: -6 }, seed: 5, lengthMm: 50, widthMm: 30 } as const;
const truth = sceneTruth(standardScene({ things: [wound] }), camera);
const homographyPxToMm = invertHomography(truth.surface.homographyMmToPx);
const given = truth.things[0]!.regions[0]!.outlinePx;
const outline = Array.from({ length: points }, (_, i) => {
  const at = (i * given.length) / points;
  const [p, q] = [given[Math.floor(at)]!, given[Math.ceil(at) % given.length]!];
  const t = at - Math.floor(at);
  return { x: p[0] + t * (q[0] - p[0]), y: p[1] + t * (q[1] - p[1]) };
});
const { pxPerMm } = truth.surface;
const reading: ScaleFound = {
  file: "",
  widthPx: 6000,
  heightPx: 4000,
  found: true,
  scales: [
    {
      kind: "L",
      unit: "mm",
      pxPerMm: { value: pxPerMm, u95: 0.002 * pxPerMm },
      at: { x: 3000, y: 3300 },
      axisDeg: 0,
      ticks: [],
      coverageMm: 60,
      residualPx: 0.05,
    },
  ],
  plane: { homographyPxToMm, tiltDeg: { value: truth.surface.leanDeg, u95: 0.5 } },
  reproductionRatio: null,
  warnings: [],
  recipe: { step: "scale", version: 2, parameters: {} },
};
const limb = {
  middle: [
    [3000, 500],
    [3000, 3500],
  ],
  girthMm: 400,
} as const;

const out = (text: string) => process.stdout.write(`${text}\n`);

function least(work: () => unknown): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < RUNS; i++) {
    const start = performance.now();
    work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
}

const flatMs = least(() => measureRegions([{ outline, holes: [] }], reading));
const limbMs = least(() => measureRegions([{ outline, holes: [] }], reading, { limb }));
const localMs = least(() => measureRegions([{ outline, holes: [] }], { ...reading, plane: null }));
const plainMs = plainVisionMs();
out(`${cpus()[0]!.model}, Node ${process.version}, outline of ${points} points`);
out(
  `by the plane ${flatMs.toFixed(1)} ms, by the local scale ${localMs.toFixed(1)} ms, on a limb ${limbMs.toFixed(1)} ms`,
);
out(
  plainMs === null
    ? "general library: not here (Debian python3-opencv)"
    : `general library, sizes only ${plainMs.toFixed(1)} ms: ours ${(flatMs / plainMs).toFixed(2)} and ${(localMs / plainMs).toFixed(2)} x`,
);

/** Null where the library is not installed. */
function plainVisionMs(): number | null {
  const script = fileURLToPath(new URL("./measure/general_library.py", import.meta.url));
  const task = {
    outline: outline.map(({ x, y }) => [x, y]),
    h: homographyPxToMm,
    runs: RUNS,
    again: RE_EVALUATIONS,
  };
  for (const python of ["python3", "/usr/bin/python3"]) {
    const { status, stdout } = spawnSync(python, [script], {
      input: JSON.stringify(task),
      encoding: "utf8",
    });
    if (status === 0) return Number(stdout);
  }
  return null;
}
