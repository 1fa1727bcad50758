/** How an edge is divided. Lengths of ticks by rank: the finest first. */
export interface Graduation {
  readonly unit: "mm" | "inch";
  /** Distance between neighbouring ticks. */
  readonly stepMm: number;
  /** `every`: this many steps apart; a tick takes the length of the last rank that divides its number. */
  readonly ranks: readonly { readonly every: number; readonly lengthMm: number }[];
  /** Steps between numerals, and by how much a numeral grows. */
  readonly numeralEvery: number;
  readonly numeralStep: number;
  /** What is printed beside the zero. */
  readonly word: string;
}

const INCH_MM = 25.4;

const inch = (parts: number, lengths: readonly (readonly [number, number])[]): Graduation => ({
  unit: "inch",
  stepMm: INCH_MM / parts,
  ranks: lengths.map(([every, lengthMm]) => ({ every, lengthMm })),
  numeralEvery: parts,
  numeralStep: 1,
  word: "inch",
});

const MM_RANKS = [
  { every: 1, lengthMm: 3 },
  { every: 5, lengthMm: 4.4 },
  { every: 10, lengthMm: 5.8 },
];

/** Every division that a scale can carry. "mm" is numbered in centimetres, "mm-by-ten" in millimetres. */
export const GRADUATIONS = {
  mm: { unit: "mm", stepMm: 1, ranks: MM_RANKS, numeralEvery: 10, numeralStep: 1, word: "cm" },
  "mm-by-ten": { unit: "mm", stepMm: 1, ranks: MM_RANKS, numeralEvery: 10, numeralStep: 10, word: "mm" },
  "half-mm": {
    unit: "mm",
    stepMm: 0.5,
    ranks: [
      { every: 1, lengthMm: 2.2 },
      { every: 2, lengthMm: 3.2 },
      { every: 10, lengthMm: 4.6 },
      { every: 20, lengthMm: 6 },
    ],
    numeralEvery: 20,
    numeralStep: 1,
    word: "cm",
  },
  "mm-equal": {
    unit: "mm",
    stepMm: 1,
    ranks: [{ every: 1, lengthMm: 3.4 }],
    numeralEvery: 10,
    numeralStep: 1,
    word: "cm",
  },
  cm: {
    unit: "mm",
    stepMm: 10,
    ranks: [{ every: 1, lengthMm: 6 }],
    numeralEvery: 1,
    numeralStep: 1,
    word: "cm",
  },
  "inch/8": inch(8, [
    [1, 2.6],
    [2, 3.6],
    [4, 4.8],
    [8, 6.2],
  ]),
  "inch/10": inch(10, [
    [1, 3],
    [5, 4.4],
    [10, 6],
  ]),
  "inch/16": inch(16, [
    [1, 2.2],
    [2, 3],
    [4, 4],
    [8, 5],
    [16, 6.4],
  ]),
  "inch/32": inch(32, [
    [1, 1.8],
    [2, 2.4],
    [4, 3.2],
    [8, 4.2],
    [16, 5.2],
    [32, 6.4],
  ]),
} as const satisfies Readonly<Record<string, Graduation>>;

export type GraduationName = keyof typeof GRADUATIONS;

export interface Tick {
  readonly index: number;
  readonly mm: number;
  readonly rank: number;
  readonly lengthMm: number;
  readonly missing: boolean;
}

/** The ticks of an edge from 0 to `lengthMm`. */
export function ticksOf(graduation: Graduation, lengthMm: number, missing: readonly number[] = []): Tick[] {
  const gone = new Set(missing);
  const ticks: Tick[] = [];
  const last = Math.floor(lengthMm / graduation.stepMm + 1e-6);
  for (let index = 0; index <= last; index++) {
    let rank = 0;
    graduation.ranks.forEach(({ every }, i) => {
      if (index % every === 0) rank = i;
    });
    ticks.push({
      index,
      mm: index * graduation.stepMm,
      rank,
      lengthMm: graduation.ranks[rank]!.lengthMm,
      missing: gone.has(index),
    });
  }
  return ticks;
}
