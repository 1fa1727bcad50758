import { cpus } from "node:os";
import {
  applyHomography,
  composeHomographies,
  invertHomography,
  seededRandom,
} from "../packages/geometry/src/index.ts";
import { alignPictures } from "../packages/picture/src/align/align-pictures.ts";
import { FINE_SIDE_PX } from "../packages/picture/src/align/work-picture.ts";
import { decodeBytes, greyOf } from "../packages/picture/src/decode/decode.ts";
import { sharp } from "../packages/picture/src/decode/sharp.ts";
import {
  frontalLight,
  type Picture,
  renderPicture,
  ringLight,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../packages/simulator/src/index.ts";

/**
 * Alignment on rendered skin of six tones: a wound that heals over visits, a scale that lies elsewhere each time, the
 * camera ±8 % nearer or further, turned by up to 10°, leaning by up to 6°. Mean error over the overlap per 1000 px, without
 * help and with wound and scale left out; then processor time of one pair at several sizes, against decoding it.
 *   node bench/align.bench.ts [number of pairs, 12]
 */
const PAIRS = Number(process.argv[2] ?? 12);
const [WIDTH, HEIGHT] = [1500, 1000];
const out = (line: string) => process.stdout.write(`${line}\n`);

interface Pair {
  readonly baseline: Picture;
  readonly followup: Picture;
}

async function pairOf(seed: number): Promise<Pair> {
  const random = seededRandom(seed);
  const tone = (1 + (seed % 6)) as 1 | 2 | 3 | 4 | 5 | 6;
  const visit = 1 + (seed % 3);
  const skin = standardSkin({
    tone,
    seed: 10 + seed,
    hairs: 4 * random(),
    moles: 2 * random(),
    vessels: random(),
  });
  const about = (range: number) => range * (2 * random() - 1);
  const take = (v: number, freedom: number) => {
    const things: Thing[] = [
      {
        kind: "wound",
        id: "wound",
        placement: { xMm: 0, yMm: 0, rotateDeg: 20 },
        seed,
        lengthMm: 36,
        widthMm: 24,
        healed: 0.25 * v,
        slough: 0.4 - 0.1 * v,
        erythemaMm: 8 - 2 * v,
        wet: 0.6,
      },
      {
        kind: "straight-scale",
        id: "scale",
        placement: { xMm: -40 + about(5), yMm: (v % 2 ? -1 : 1) * (32 + about(2)), rotateDeg: about(2.5) },
        lengthMm: 80,
        edges: ["mm"],
      },
    ];
    const camera = standardCamera({
      widthPx: WIDTH,
      heightPx: HEIGHT,
      magnification: 0.25 * (1 + freedom * about(0.08)),
      targetMm: { x: freedom * about(6), y: freedom * about(5) },
      leanXDeg: freedom * about(6),
      leanYDeg: freedom * about(6),
      rollDeg: freedom * about(10),
    });
    const light = random() < 0.5 ? frontalLight() : ringLight();
    return renderPicture({ scene: standardScene({ skin, light, things }), camera, seed: 10 * seed + v });
  };
  return { baseline: await take(0, 0.3), followup: await take(visit, 1) };
}

type Ring = readonly (readonly [number, number])[];

/** The wound's outline, and the scale's body as a rectangle of 100 × 34 mm about its place. */
function leftOut({ truth }: Picture): Ring[] {
  return truth.things.flatMap((thing): Ring[] => {
    if (thing.id !== "scale") return thing.regions.map((region) => region.outlinePx);
    const h = thing.homographyMmToPx!;
    const corners = [
      [-50, -17],
      [50, -17],
      [50, 17],
      [-50, 17],
    ] as const;
    return [
      corners.map(([x, y]) => {
        const p = applyHomography(h, { x, y });
        return [p.x, p.y] as const;
      }),
    ];
  });
}

function meanErrorPx({ baseline, followup }: Pair, found: Parameters<typeof applyHomography>[0]): number {
  const truth = composeHomographies(
    baseline.truth.surface.homographyMmToPx,
    invertHomography(followup.truth.surface.homographyMmToPx),
  );
  let sum = 0;
  let n = 0;
  for (let y = 50; y < HEIGHT; y += 100) {
    for (let x = 50; x < WIDTH; x += 100) {
      const want = applyHomography(truth, { x, y });
      if (want.x < 0 || want.y < 0 || want.x > WIDTH || want.y > HEIGHT) continue;
      const got = applyHomography(found, { x, y });
      sum += Math.hypot(got.x - want.x, got.y - want.y);
      n++;
    }
  }
  return ((sum / n) * 1000) / WIDTH;
}

const processorMs = async (work: () => Promise<unknown>) => {
  const start = process.cpuUsage();
  await work();
  const { user, system } = process.cpuUsage(start);
  return (user + system) / 1000;
};

const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

out(`${cpus()[0]?.model ?? "?"} · Node ${process.version} · ${PAIRS} pairs of ${WIDTH} × ${HEIGHT} px`);
const errors = { alone: [] as number[], helped: [] as number[] };
const count = { alone: { refused: 0, warned: 0, wrong: 0 }, helped: { refused: 0, warned: 0, wrong: 0 } };
let last: Pair | undefined;
for (let seed = 1; seed <= PAIRS; seed++) {
  const pair = await pairOf(seed);
  last = pair;
  for (const how of ["alone", "helped"] as const) {
    const laid = await alignPictures(
      greyOf(pair.baseline),
      greyOf(pair.followup),
      how === "alone"
        ? { baseline: [], followup: [] }
        : { baseline: leftOut(pair.baseline), followup: leftOut(pair.followup) },
    );
    if (!laid.aligned) {
      count[how].refused++;
      out(`  pair ${seed} ${how}: refused, ${laid.reason}`);
      continue;
    }
    const error = meanErrorPx(pair, laid.homography);
    errors[how].push(error);
    if (laid.warnings.length > 0) count[how].warned++;
    else if (error > 10) count[how].wrong++;
    if (error > 2) out(`  pair ${seed} ${how}: ${error.toFixed(1)} px, ${laid.warnings.join("; ")}`);
  }
}
for (const how of ["alone", "helped"] as const) {
  const { refused, warned, wrong } = count[how];
  out(
    `${how === "alone" ? "pictures alone          " : "wound, scale left out   "} median ${median(errors[how]).toFixed(2)} px, largest ${Math.max(...errors[how]).toFixed(2)} px at 1000 · warned ${warned} · refused ${refused} · wrong without warning ${wrong}`,
  );
}

if (last) {
  for (const megapixels of [1, 6, 24]) {
    const width = Math.round(Math.sqrt(megapixels * 1.5e6));
    const files = await Promise.all(
      [last.baseline, last.followup].map((p) =>
        sharp(p.rgb, { raw: { width: p.widthPx, height: p.heightPx, channels: 3 } })
          .resize({ width })
          .jpeg({ quality: 92 })
          .toBuffer(),
      ),
    );
    const decode = () =>
      Promise.all(files.map((f, i) => decodeBytes(f, `${i}.jpg`, { maxSidePx: FINE_SIDE_PX })));
    const pictures = (await decode()).map(greyOf);
    const times = { decode: [] as number[], align: [] as number[] };
    for (let run = 0; run < 3; run++) {
      times.decode.push(await processorMs(decode));
      times.align.push(
        await processorMs(() => alignPictures(pictures[0]!, pictures[1]!, { baseline: [], followup: [] })),
      );
    }
    const [d, a] = [median(times.decode), median(times.align)];
    out(
      `${megapixels} MP: decoding both ${d.toFixed(0)} ms, aligning ${a.toFixed(0)} ms (${(a / d).toFixed(1)} ×)`,
    );
  }
}
