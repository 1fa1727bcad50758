import { readdirSync } from "node:fs";
import { seededRandom } from "../../packages/geometry/src/index.ts";
import { greyOf } from "../../packages/picture/src/decode/decode.ts";
import type { EdgeReading } from "../../packages/picture/src/scale/edge-reading.ts";
import { findEdges } from "../../packages/picture/src/scale/find-edges.ts";
import { CHARACTERS } from "../../packages/picture/src/scale/numerals/classifier.ts";
import { featuresOf, patchOf, type Turn } from "../../packages/picture/src/scale/numerals/features.ts";
import { letteringOf } from "../../packages/picture/src/scale/numerals/lettering.ts";
import { pyramidOf } from "../../packages/picture/src/scale/search/pyramid.ts";
import {
  type Picture,
  renderPicture,
  standardCamera,
  standardScene,
  type Thing,
} from "../../packages/simulator/src/index.ts";
import type { FontName } from "../../packages/simulator/src/text/fonts.ts";

/** Features of one mark and the class that it is. */
export interface Sample {
  readonly features: Float32Array;
  readonly target: number;
}

const OTHER = CHARACTERS.length;
const folder = new URL("./node_modules/@fontsource/", import.meta.url);

/** Faces by family, so that families can be kept apart for the test. */
export function faces(): Map<string, FontName[]> {
  const all = new Map<string, FontName[]>();
  for (const family of readdirSync(folder).sort()) {
    const files = readdirSync(new URL(`${family}/files/`, folder)).filter((f) =>
      /-latin-(300|400|500|600|700)-normal\.woff$/.test(f),
    );
    all.set(
      family,
      files.map((f) => new URL(`${family}/files/${f}`, folder).pathname as FontName),
    );
  }
  all.set("shipped", ["light", "regular", "bold", "slanted", "lines"]);
  return all;
}

const DIVISIONS = ["mm", "mm", "mm-by-ten", "half-mm", "inch/8", "inch/16", "inch/10", "mm-equal"] as const;

const WORDS = {
  mm: ["cm", "CM", "mm", "MM"],
  inch: ["in", "inch", "IN", "INCH", "inches"],
} as const;

/** Renders one scale lettered in one of the faces and takes the marks that the reader would see beside it. */
export async function samplesOf(seed: number, faces: readonly FontName[]): Promise<Sample[]> {
  const random = seededRandom(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const division = pick(DIVISIONS);
  const ratio = 1.2 + 7 * random() ** 1.5;
  const field = 36 * ratio;
  const lean = random() < 0.4 ? 0 : 30 * random();
  const towards = 2 * Math.PI * random();
  const lengthMm = Math.round((field * (0.5 + 0.5 * random())) / 10) * 10;
  const scale: Thing = {
    kind: "straight-scale",
    placement: {
      xMm: 0.15 * field * (random() - 0.5),
      yMm: 0.2 * field * (random() - 0.5),
      rotateDeg: 360 * random(),
    },
    lengthMm: Math.max(20, lengthMm),
    edges: random() < 0.6 ? [division, pick(DIVISIONS)] : [division],
    word: pick(WORDS[division.startsWith("inch") ? "inch" : "mm"]),
    style: {
      material: pick(["paper", "plastic", "steel", "wood", "adhesive", "clear"]),
      polarity: random() < 0.25 ? "light-on-dark" : "dark-on-light",
      tickWidthMm: 0.12 + 0.15 * random(),
      inkDensity: random() < 0.3 ? 0.4 + 0.5 * random() : 1,
      engraved: random() < 0.1,
      wear: random() < 0.15 ? 0.3 * random() : 0,
      font: pick(faces),
      numeralHeightMm: 1.6 + 2.6 * random(),
      numerals: pick(["upright", "upright", "inverted", "along"]),
      baseLine: random() < 0.3,
      seed,
    },
  };
  const camera = standardCamera({
    widthPx: 900,
    heightPx: 600,
    magnification: 1 / ratio,
    leanXDeg: lean * Math.sin(towards),
    leanYDeg: lean * Math.cos(towards),
    noiseLevel: 0.5 + 2 * random(),
    focusOffsetMm: random() < 0.4 ? 5 * ratio * (random() - 0.5) : 0,
    motion: { lengthPx: random() < 0.2 ? 2 * random() : 0, directionDeg: 360 * random() },
    exposureStops: random() - 0.6,
  });
  const picture = await renderPicture({ scene: standardScene({ things: [scale] }), camera, seed });
  const levels = pyramidOf(greyOf(picture));
  const samples: Sample[] = [];
  for (const edge of findEdges(levels)) samples.push(...samplesBeside(levels, edge, picture, random));
  return samples;
}

function samplesBeside(
  levels: ReturnType<typeof pyramidOf>,
  { row }: EdgeReading,
  picture: Picture,
  random: () => number,
): Sample[] {
  const truth = picture.truth.things.flatMap((t) => t.edges.flatMap((e) => e.characters));
  const samples: Sample[] = [];
  for (const { flat, marks } of letteringOf(levels, row)) {
    for (const mark of marks.marks) {
      const s = row.lattice.at(mark.k);
      const pitch = Math.abs(row.lattice.spacing(mark.k));
      const p = row.strip.at(s, mark.o * pitch);
      const e = row.strip.edge(s);
      const near = truth.find(({ px, topPx }) => {
        const cap = 2 * Math.hypot(px[0] - topPx[0], px[1] - topPx[1]);
        return Math.hypot(p.x - px[0], p.y - px[1]) < 0.35 * cap;
      });
      const patch = patchOf(flat, marks, mark);
      const see = (turn: Turn, mirrored = false) => featuresOf(patch, mark, turn, mirrored);
      if (!near) {
        samples.push({ features: see(Math.floor(4 * random()) as Turn, random() < 0.3), target: OTHER });
        continue;
      }
      // Downwards in the lettering against the direction of the edge.
      const [dx, dy] = [near.px[0] - near.topPx[0], near.px[1] - near.topPx[1]];
      const cap = 2 * Math.hypot(dx, dy);
      const angle = Math.atan2(e.x * dy - e.y * dx, e.x * dx + e.y * dy);
      const turn = ((((Math.round(angle / (Math.PI / 2)) - 1) % 4) + 4) % 4) as Turn;
      const height = (turn % 2 === 0 ? mark.across : mark.along) * pitch;
      const target = targetOf(near.character);
      const least = /[a-z]/.test(near.character) ? 0.5 : 0.8;
      if (target === null || height > 1.25 * cap || height < least * cap) continue;
      samples.push({ features: see(turn), target });
      samples.push(...misread(near.character, turn, see, random));
    }
  }
  return samples;
}

function targetOf(character: string): number | null {
  const like: Record<string, string> = { i: "1", I: "1", C: "c" };
  const index = (CHARACTERS as readonly string[]).indexOf(like[character] ?? character);
  return index < 0 ? (character === "e" || character === "s" ? OTHER : null) : index;
}

/** Upside down these are themselves or another character. */
const HALF_TURN: Record<string, string | null> = {
  "0": "0",
  "1": null,
  "2": null,
  "5": null,
  "6": "9",
  "8": "8",
  "9": "6",
  H: "H",
  h: null,
  N: "N",
  n: null,
  I: "1",
  i: "1",
  m: null,
  M: null,
  c: null,
  C: null,
};
/** In a mirror these look the same. */
const SYMMETRIC = new Set([..."018iIHM", "m", "n", "2", "5"]);
const QUARTER = new Set([..."0", "1", "i", "I", "N", "H", "c", "C"]);

/** The same mark seen turned or mirrored is no character, unless it looks like one. */
function misread(
  character: string,
  turn: Turn,
  see: (turn: Turn, mirrored?: boolean) => Float32Array,
  random: () => number,
): Sample[] {
  const samples: Sample[] = [];
  const choice = random();
  if (choice < 0.35) {
    if (!QUARTER.has(character)) samples.push({ features: see(((turn + 1) % 4) as Turn), target: OTHER });
  } else if (choice < 0.7) {
    if (!QUARTER.has(character)) samples.push({ features: see(((turn + 3) % 4) as Turn), target: OTHER });
  } else if (choice < 0.9) {
    const seen = HALF_TURN[character];
    const half = ((turn + 2) % 4) as Turn;
    if (seen === undefined) samples.push({ features: see(half), target: OTHER });
    else if (seen !== null) samples.push({ features: see(half), target: targetOf(seen)! });
  } else if (!SYMMETRIC.has(character)) samples.push({ features: see(turn, true), target: OTHER });
  return samples;
}
