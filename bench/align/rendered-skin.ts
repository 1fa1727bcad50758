import {
  applyHomography,
  composeHomographies,
  invertHomography,
  type Matrix3,
  seededRandom,
} from "../../packages/geometry/src/index.ts";
import {
  frontalLight,
  type Picture,
  renderPicture,
  ringLight,
  type SkinTone,
  standardCamera,
  standardScene,
  standardSkin,
  type Thing,
} from "../../packages/simulator/src/index.ts";

/** Two visits to one patient, rendered: what moved between them is known. */
export interface RenderedPair {
  readonly baseline: Picture;
  readonly followup: Picture;
  readonly tone: SkinTone;
  /** Between the two lines of sight. */
  readonly viewpointDeg: number;
}

const [WIDTH, HEIGHT] = [1500, 1000];
/** A lower leg of some 38 cm girth. */
const LIMB_RADIUS_MM = 60;
/** Viewpoint changes by up to these, a third of the seeds each. */
export const VIEWPOINTS_DEG = [10, 20, 30] as const;

/**
 * Flat skin of one of six tones under frontal light or a ring, a wound that heals over visits, a scale that lies elsewhere each
 * time; the camera ±8 % nearer or further, turned by up to 10°, seen from up to 30° to a side.
 * @param limb the same on a cylinder with moles whose places are known, seen from up to 10° to a side
 */
export async function renderedPair(seed: number, limb = false): Promise<RenderedPair> {
  const random = seededRandom(seed);
  const tone = (1 + (seed % 6)) as SkinTone;
  const most = limb ? VIEWPOINTS_DEG[0] : VIEWPOINTS_DEG[Math.floor(seed / 6) % 3]!;
  const visit = 1 + (seed % 3);
  const skin = standardSkin({
    tone,
    seed: 10 + seed,
    hairs: 4 * random(),
    moles: 2 * random(),
    vessels: random(),
  });
  const about = (range: number) => range * (2 * random() - 1);
  const moles: Thing[] = Array.from({ length: limb ? 16 : 0 }, (_, i) => ({
    kind: "lesion",
    id: `mole ${i}`,
    placement: {
      xMm: -48 + 32 * (i % 4) + about(10),
      yMm: -30 + 20 * Math.floor(i / 4) + about(6),
      rotateDeg: about(90),
    },
    seed: i,
    lengthMm: 2.4,
    widthMm: 2,
    darkness: 0.6,
    variety: 0.2,
  }));
  const light = random() < 0.5 ? frontalLight() : ringLight();
  const take = (axisDeg: number, v: number, freedom: number, leanDeg: number, towardsDeg: number) => {
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
      ...moles,
    ];
    const [x, y] = [Math.cos(towardsDeg), Math.sin(towardsDeg)];
    const camera = standardCamera({
      widthPx: WIDTH,
      heightPx: HEIGHT,
      magnification: 0.25 * (1 + freedom * about(0.08)),
      targetMm: { x: freedom * about(6), y: freedom * about(5) },
      leanXDeg: leanDeg * y,
      leanYDeg: leanDeg * x,
      rollDeg: freedom * about(10),
      fNumber: 22,
    });
    const scene = limb
      ? standardScene({
          skin,
          light,
          things,
          surface: { shape: "cylinder", radiusMm: LIMB_RADIUS_MM, axisDeg },
        })
      : standardScene({ skin, light, things });
    return renderPicture({ scene, camera, seed: 10 * seed + v });
  };
  const towards = about(Math.PI);
  const axisDeg = about(8);
  const viewpointDeg = most - 10 * random();
  // The baseline leans a little to the other side: hands never hold it square.
  const own = 2 * random();
  const baseline = await take(axisDeg, 0, 0.3, -own, towards);
  return {
    baseline,
    followup: await take(axisDeg, visit, 1, viewpointDeg - own, towards),
    tone,
    viewpointDeg,
  };
}

type Ring = readonly (readonly [x: number, y: number])[];

export const woundOf = ({ truth }: Picture): Ring[] =>
  truth.things.filter(({ id }) => id === "wound").flatMap(({ regions }) => regions.map((r) => r.outlinePx));

/** The scale's body as a rectangle of 100 × 34 mm about its place. */
export function scaleOf({ truth }: Picture): Ring[] {
  const corners = [
    [-50, -17],
    [50, -17],
    [50, 17],
    [-50, 17],
  ] as const;
  return truth.things.flatMap(({ id, homographyMmToPx: h }): Ring[] => {
    if (id !== "scale" || !h) return [];
    return [
      corners.map(([x, y]) => {
        const p = applyHomography(h, { x, y });
        return [p.x, p.y] as const;
      }),
    ];
  });
}

/** Follow-up px → baseline px, for flat skin. */
export const truthOf = ({ baseline, followup }: RenderedPair): Matrix3 =>
  composeHomographies(
    baseline.truth.surface.homographyMmToPx,
    invertHomography(followup.truth.surface.homographyMmToPx),
  );

/** Over what both show, per 1000 px. */
export function meanErrorPx(pair: RenderedPair, found: Matrix3): number {
  const truth = truthOf(pair);
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

/** Middles of the moles that both pictures show, follow-up and baseline. */
export function molesOf({ baseline, followup }: RenderedPair) {
  const middles = ({ truth }: Picture) =>
    new Map(
      truth.things
        .filter(({ id }) => id?.startsWith("mole"))
        .flatMap(({ id, regions: [region] }) => {
          if (!region || region.outlinePx.length === 0) return [];
          const mean = (k: 0 | 1) => region.outlinePx.reduce((s, p) => s + p[k], 0) / region.outlinePx.length;
          const [x, y] = [mean(0), mean(1)];
          return x > 20 && y > 20 && x < WIDTH - 20 && y < HEIGHT - 20 ? [[id!, { x, y }] as const] : [];
        }),
    );
  const there = middles(followup);
  return [...middles(baseline)].flatMap(([id, to]) => {
    const from = there.get(id);
    return from ? [{ from, to }] : [];
  });
}
