import type { UnitSource } from "../../answers.ts";
import { type EdgeReading, middleNumber, nearestNumber } from "../edge-reading.ts";
import { DIVISIONS, type Division, MILLIMETRES, TENTHS } from "./hierarchy.ts";
import type { Doubt } from "./judge.ts";

/** An edge whose unit is settled, by its own graduations or by another edge beside it. */
export interface SettledEdge {
  readonly edge: EdgeReading;
  readonly division: Division;
  readonly sure: boolean;
  readonly doubts: readonly Doubt[];
  readonly unitFrom: UnitSource;
  /** Which scale it belongs to, where that is known; the division's pitch is its true one then. */
  readonly own?: {
    readonly id: string;
    /** By its own code. */
    readonly marker: boolean;
    /** Relative standard uncertainty of its length. */
    readonly u: number;
  };
}

/**
 * Rulers with two units prove both: the distances of their graduations stand in a ratio that no single misreading
 * produces (sixteenths of an inch to millimetres: 1.5875). The edges lie in one plane a ruler's width apart, so
 * perspective changes the ratio little.
 */
const MOST_RATIO_ERROR = 0.03;
/** Width of a ruler against its finer pitch. */
const MOST_APART_PITCHES = 70;
/** Something of the halves and quarters must be seen (odds of fifty to one). */
const LEAST_BINARY_SCORE = 8;

const named = (name: string): Division => DIVISIONS.find((d) => d.name === name) as Division;

export function settle(edges: readonly EdgeReading[]): SettledEdge[] {
  const settled = new Map<EdgeReading, SettledEdge>();
  for (const edge of edges) {
    const { verdict, division, doubts, from = "graduations" } = edge.judgement;
    if (division && (verdict === "sure" || verdict === "doubtful")) {
      settled.set(edge, { edge, division, sure: verdict === "sure", doubts, unitFrom: from });
    }
  }
  for (const a of edges) {
    for (const b of edges) {
      if (a !== b && millimetresBeside(a, b)) {
        settled.set(a, provedBySide(a, MILLIMETRES));
        settled.set(b, provedBySide(b, TENTHS));
        continue;
      }
      const decimals = decimalChoices(a);
      const binaries = binaryChoices(b);
      if (a === b || decimals.length === 0 || binaries.length === 0 || !edgesBeside(a, b)) continue;
      const ratio = pitchBeside(b, a) / pitchBeside(a, a);
      for (const decimal of decimals) {
        for (const binary of binaries) {
          if (Math.abs((ratio * decimal.pitchMm) / binary.pitchMm - 1) > MOST_RATIO_ERROR) continue;
          settled.set(a, provedBySide(a, decimal));
          settled.set(b, provedBySide(b, binary));
        }
      }
    }
  }
  return withContradictions([...settled.values()]);
}

/** Edges side by side that give one surface two scales are no longer sure. */
export function withContradictions(settled: readonly SettledEdge[]): SettledEdge[] {
  return settled.map((a) => {
    const contradicted = settled.some((b) => contradict(a, b));
    return contradicted ? { ...a, sure: false, doubts: [...a.doubts, CONTRADICTED] } : a;
  });
}

function provedBySide(edge: EdgeReading, division: Division): SettledEdge {
  const { verdict, division: own, from = "graduations" } = edge.judgement;
  const itself = verdict === "sure" && own?.pitchMm === division.pitchMm;
  return { edge, division, sure: true, doubts: [], unitFrom: itself ? from : "two-sided" };
}

/** Lean changes the scale by less over a ruler's width. */
const MOST_DIFFERENCE = 0.1;
const CONTRADICTED: Doubt = {
  says: "Two rows of graduations side by side contradict each other: one of them is not what it seems.",
  u95: 1,
};

function contradict(a: SettledEdge, b: SettledEdge): boolean {
  if (a === b || !edgesBeside(a.edge, b.edge)) return false;
  const [pa, pb] = [pitchBeside(a.edge, a.edge), pitchBeside(b.edge, a.edge)];
  return Math.abs(Math.log(pa / a.division.pitchMm / (pb / b.division.pitchMm))) > MOST_DIFFERENCE;
}

/** Two edges divided by tens, the graduations of the second 2.54 times as far apart: millimetres and tenths of an inch. */
function millimetresBeside(a: EdgeReading, b: EdgeReading): boolean {
  const both = [a, b].every((edge) => decimalChoices(edge).includes(TENTHS));
  if (!both && !(a.judgement.unitTold && decimalChoices(b).includes(TENTHS))) return false;
  if (a.judgement.division?.pitchMm !== MILLIMETRES.pitchMm || !edgesBeside(a, b)) return false;
  const ratio = pitchBeside(b, a) / pitchBeside(a, a);
  return Math.abs(ratio / (TENTHS.pitchMm / MILLIMETRES.pitchMm) - 1) <= MOST_RATIO_ERROR;
}

/** What an edge divided by tens may be: its own reading, or tenths of an inch, which look like millimetres. */
function decimalChoices({ judgement: { verdict, division, unitTold } }: EdgeReading): Division[] {
  if (division?.unit !== "mm" || (verdict !== "sure" && verdict !== "doubtful")) return [];
  return division.pitchMm === 1 && !unitTold ? [division, TENTHS] : [division];
}

function binaryChoices({ judgement, units }: EdgeReading): Division[] {
  if (judgement.verdict === "sure") return judgement.division?.unit === "inch" ? [judgement.division] : [];
  const best = units[0];
  if (best?.division.unit !== "inch" || best.score < LEAST_BINARY_SCORE) return [];
  return [named("inch/8"), named("inch/16"), named("inch/32")];
}

/** Nearly parallel, a ruler's width apart at most, and overlapping. */
export function edgesBeside(a: EdgeReading, b: EdgeReading): boolean {
  const middle = middleNumber(b.row);
  const p = b.row.strip.at(b.row.lattice.at(middle), 0);
  const k = nearestNumber(a.row, p.x, p.y);
  const q = a.row.strip.at(a.row.lattice.at(k), 0);
  const ea = a.row.strip.edge(a.row.lattice.at(k));
  const eb = b.row.strip.edge(b.row.lattice.at(middle));
  const finer = Math.min(Math.abs(a.row.lattice.spacing(k)), Math.abs(b.row.lattice.spacing(middle)));
  return (
    Math.abs(ea.x * eb.x + ea.y * eb.y) > 0.99 &&
    Math.hypot(p.x - q.x, p.y - q.y) < MOST_APART_PITCHES * finer
  );
}

/** Pitch of `edge` where it lies nearest to the middle of `other`. */
function pitchBeside(edge: EdgeReading, other: EdgeReading): number {
  const m = other.row.strip.at(other.row.lattice.at(middleNumber(other.row)), 0);
  return Math.abs(edge.row.lattice.spacing(nearestNumber(edge.row, m.x, m.y)));
}
