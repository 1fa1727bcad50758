import type { Drawing } from "./drawn-picture.ts";

/** Flat drawings in millimetres for the tests: rulers of several divisions, and periodic things that are none. */

export interface Ruler {
  readonly pitchMm: number;
  readonly count: number;
  /** Period of a graduation class and its length, longest first; the last has period 1. */
  readonly classes: readonly (readonly [period: number, lengthMm: number])[];
  readonly tickMm?: number;
  readonly ink?: number;
  readonly paper?: number;
  readonly ground?: number;
  /** Digits are drawn as blots of this size beside the longest graduations; 0: none. */
  readonly blotMm?: number;
  /** Width of the ruler's body. */
  readonly bodyMm?: number;
  /** Number of the first graduation, so that the longest need not come first. */
  readonly first?: number;
}

/** Graduations start at the origin, run along +x, bars point to +y. */
export function ruler(r: Ruler): Drawing {
  const { ink = 30, paper = 220, ground = 120, tickMm = 0.18, blotMm = 2, bodyMm = 25, first = 0 } = r;
  const end = r.count * r.pitchMm;
  const longest = r.classes[0]![0];
  const longestMm = r.classes[0]![1];
  return (x, y) => {
    if (x < -4 || x > end + 4 || y < -0.3 || y > bodyMm) return ground;
    const k = Math.round(x / r.pitchMm);
    if (k >= 0 && k <= r.count && Math.abs(x - k * r.pitchMm) < tickMm / 2 && y >= 0) {
      const length = r.classes.find(([period]) => (k + first) % period === 0)![1];
      if (y < length) return ink;
    }
    if (blotMm > 0) {
      const m = Math.round((x / r.pitchMm + first) / longest) * longest - first;
      const dx = x - m * r.pitchMm;
      if (
        m >= 0 &&
        m <= r.count &&
        Math.abs(dx) < blotMm / 2 &&
        y > longestMm + 0.7 &&
        y < longestMm + 0.7 + blotMm
      ) {
        // A blot with a hole, different from number to number.
        return Math.abs(dx) < blotMm / 6 + (m % 7) * 0.04 &&
          Math.abs(y - longestMm - 0.7 - blotMm / 2) < blotMm / 4
          ? paper
          : ink;
      }
    }
    return paper;
  };
}

export const MM: Ruler["classes"] = [
  [10, 6],
  [5, 4.5],
  [1, 3],
];
export const HALF_MM: Ruler["classes"] = [
  [20, 6],
  [10, 4.5],
  [2, 3.2],
  [1, 2],
];
export const SIXTEENTHS: Ruler["classes"] = [
  [16, 9],
  [8, 7],
  [4, 5.5],
  [2, 4],
  [1, 2.6],
];
export const EIGHTHS: Ruler["classes"] = [
  [8, 9],
  [4, 7],
  [2, 5],
  [1, 3.5],
];
export const THIRTY_SECONDS: Ruler["classes"] = [
  [32, 9],
  [16, 7.5],
  [8, 6],
  [4, 4.5],
  [2, 3.2],
  [1, 2],
];

export function chessboard(squareMm: number): Drawing {
  return (x, y) => ((Math.floor(x / squareMm) + Math.floor(y / squareMm)) & 1 ? 40 : 210);
}

export function weave(threadMm: number): Drawing {
  return (x, y) => {
    const i = Math.floor(x / threadMm);
    const j = Math.floor(y / threadMm);
    const over = (i + j) & 1;
    const t = over ? x / threadMm - i : y / threadMm - j;
    return 90 + 110 * Math.sin(Math.PI * t);
  };
}

export function grid(pitchMm: number, lineMm: number): Drawing {
  const near = (v: number) => Math.abs(v / pitchMm - Math.round(v / pitchMm)) * pitchMm < lineMm / 2;
  return (x, y) => (near(x) || near(y) ? 60 : 215);
}

/** Teeth of equal length on a spine. */
export function comb(pitchMm: number, toothMm: number, lengthMm: number): Drawing {
  return (x, y) => {
    if (y < 0) return y > -6 ? 50 : 200;
    if (y > lengthMm || x < 0 || x > 140) return 200;
    return (x / pitchMm - Math.floor(x / pitchMm)) * pitchMm < toothMm ? 50 : 200;
  };
}

/** Bars of random width, as on a label. */
export function barcode(moduleMm: number, lengthMm: number, random: () => number): Drawing {
  const modules = Array.from({ length: 200 }, () => random() < 0.5);
  return (x, y) => {
    const i = Math.floor(x / moduleMm);
    return y > 0 && y < lengthMm && i >= 0 && i < modules.length && modules[i] ? 30 : 225;
  };
}

/** Square modules, black or white by chance. */
export function matrixCode(moduleMm: number, random: () => number): Drawing {
  const side = 33;
  const modules = Array.from({ length: side * side }, () => random() < 0.5);
  return (x, y) => {
    const i = Math.floor(x / moduleMm);
    const j = Math.floor(y / moduleMm);
    return i >= 0 && j >= 0 && i < side && j < side && modules[j * side + i] ? 25 : 225;
  };
}

/** Rows of key caps with a gap between them, every row shifted. */
export function keyboard(keyMm: number): Drawing {
  return (x, y) => {
    const row = Math.floor(y / keyMm);
    const sx = x + [0, 0.5, 0.75, 0.25][((row % 4) + 4) % 4]! * keyMm;
    const fx = sx / keyMm - Math.floor(sx / keyMm);
    const fy = y / keyMm - row;
    const inside = fx > 0.1 && fx < 0.9 && fy > 0.1 && fy < 0.9;
    return inside ? (fx > 0.4 && fx < 0.6 && fy > 0.35 && fy < 0.6 ? 220 : 60) : 25;
  };
}

/** Lines of words of random length made of random strokes. */
export function textPage(lineMm: number, random: () => number): Drawing {
  const strokes = Array.from({ length: 40 }, () => Array.from({ length: 260 }, () => random()));
  return (x, y) => {
    const row = Math.floor(y / lineMm);
    const fy = y / lineMm - row;
    const i = Math.floor(x / (lineMm * 0.22));
    const s = strokes[row]?.[i];
    if (s === undefined || s < 0.25) return 230;
    const top = s > 0.85 ? 0.1 : s < 0.4 ? 0.3 : 0.3;
    const fx = x / (lineMm * 0.22) - i;
    return fy > top && fy < 0.75 && (fx < 0.3 || (s > 0.6 && Math.abs(fy - 0.5) < 0.06)) ? 40 : 230;
  };
}

/** Soft ridges, as of corrugated card. */
export function corrugated(pitchMm: number): Drawing {
  return (x, y) => 140 + 60 * Math.sin((2 * Math.PI * x) / pitchMm) + 4 * Math.sin(y / 3);
}

/** Courses of bricks, every second shifted by half. */
export function brickwork(brickMm: number): Drawing {
  return (x, y) => {
    const h = brickMm / 3;
    const row = Math.floor(y / h);
    const sx = x + (row & 1 ? brickMm / 2 : 0);
    const fx = sx / brickMm - Math.floor(sx / brickMm);
    const fy = y / h - row;
    return fx < 0.05 || fy < 0.15 ? 205 : 110;
  };
}
