import { seededRandom } from "@samescale/geometry";
import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { placed, rect, roundedRect } from "../artwork/shapes.ts";
import { grey, rgb8 } from "../colour/colour.ts";
import { letter } from "../text/letter.ts";
import { type BuiltPattern, builtMarks } from "./pattern-built.ts";
import { type ShadedPattern, shadedMark } from "./pattern-shaded.ts";
import { bodyMarks, styleOf } from "./scale-style.ts";
import type { Artwork, Placed, RuledEdge } from "./thing.ts";

/** Regular things that are no scale, to be told apart from one. Placed by the middle. */
export interface Pattern extends Placed {
  readonly kind: "pattern";
  readonly pattern:
    | "chessboard"
    /** Graph paper: every fifth and every tenth line is heavier. A scale of sorts, with its lines in the truth. */
    | "grid"
    /** Squares ruled with one weight of line. */
    | "squares"
    | "comb"
    | "keyboard"
    | "text"
    | "dial"
    | ShadedPattern
    | BuiltPattern;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Distance between repeats. */
  readonly pitchMm: number;
  readonly seed?: number;
}

const WORDS =
  "the same subject at the same scale every time light lens plane edge mirror cloth paper hand form".split(
    " ",
  );

export function patternSheet(thing: Pattern): Artwork {
  const { widthMm: w, heightMm: h } = thing;
  const body = rect(-w / 2, -h / 2, w / 2, h / 2);
  const marks = marksOf(thing, body);
  if (thing.pattern === "comb") return { marks, wraps: false }; // its own shadow would fill the gaps
  const edges = thing.pattern === "grid" ? gridEdges(thing) : [];
  return { marks, shadow: { rings: [body], heightMm: 0.6 }, wraps: false, edges };
}

function marksOf(thing: Pattern, body: Ring): Mark[] {
  const { widthMm: w, heightMm: h, pitchMm: p } = thing;
  const paper = bodyMarks([body], styleOf({ material: "paper" }));
  const columns = Math.floor(w / p);
  const rows = Math.floor(h / p);
  const [x0, y0] = [(-columns * p) / 2, (-rows * p) / 2];
  switch (thing.pattern) {
    case "chessboard": {
      const rings: Ring[] = [];
      for (let j = 0; j < rows; j++) {
        for (let i = j % 2; i < columns; i += 2)
          rings.push(rect(x0 + i * p, y0 + j * p, x0 + (i + 1) * p, y0 + (j + 1) * p));
      }
      return [...paper, ink(rings, grey(0.035))];
    }
    case "grid":
    case "squares": {
      const lines = gridLines(thing);
      const line = thing.pattern === "grid" ? rgb8(196, 96, 74) : rgb8(98, 120, 150);
      return [...paper, ink(lines.across, line, 0.8), ink(lines.down, line, 0.8)];
    }
    case "comb": {
      const rings: Ring[] = [rect(x0, -h / 2, -x0, -h / 4)];
      for (let i = 0; i <= columns; i++)
        rings.push(roundedRect(x0 + i * p - p * 0.22, -h / 3, x0 + i * p + p * 0.22, h / 2, p * 0.2));
      return [ink(rings, grey(0.04))];
    }
    case "keyboard":
      return keyboard(thing, body, x0, y0, columns, rows);
    case "text":
      return [...paper, ink(textRings(thing, y0, rows), grey(0.05))];
    case "dial":
      return [...paper, ink(dialRings(thing), grey(0.05))];
    case "fence":
    case "brickwork":
    case "slats":
    case "zip":
      return builtMarks(thing.pattern, w, h, p);
    default:
      return [shadedMark(thing.pattern, body, p)];
  }
}

function gridLines({ pattern, widthMm, heightMm, pitchMm: p }: Pattern): { across: Ring[]; down: Ring[] } {
  const [columns, rows] = [Math.floor(widthMm / p), Math.floor(heightMm / p)];
  const [x0, y0] = [(-columns * p) / 2, (-rows * p) / 2];
  const half = (k: number): number => {
    if (pattern === "squares") return 0.05 * p;
    return (k % 10 === 0 ? 0.16 : k % 5 === 0 ? 0.1 : 0.06) / 2;
  };
  const across: Ring[] = [];
  const down: Ring[] = [];
  for (let i = 0; i <= columns; i++) across.push(rect(x0 + i * p - half(i), y0, x0 + i * p + half(i), -y0));
  for (let j = 0; j <= rows; j++) down.push(rect(x0, y0 + j * p - half(j), -x0, y0 + j * p + half(j)));
  return { across, down };
}

/** Lines between two truths of graph paper: the lines of one direction are told along every fifth of the other. */
const TOLD_EVERY = 5;

function gridEdges({ widthMm, heightMm, pitchMm: p }: Pattern): RuledEdge[] {
  const [columns, rows] = [Math.floor(widthMm / p), Math.floor(heightMm / p)];
  const rank = (k: number): number => (k % 10 === 0 ? 2 : k % 5 === 0 ? 1 : 0);
  const edges: RuledEdge[] = [];
  const add = (edge: string, count: number, place: (k: number) => { x: number; y: number }): void => {
    const ticks = Array.from({ length: count + 1 }, (_, k) => {
      return { mm: k * p, ...place(k), rank: rank(k), missing: false };
    });
    edges.push({ edge, unit: "mm", stepMm: p, ticks });
  };
  for (let j = 0; j <= rows; j += TOLD_EVERY) {
    add(`row ${j}`, columns, (k) => ({ x: (k - columns / 2) * p, y: (j - rows / 2) * p }));
  }
  for (let i = 0; i <= columns; i += TOLD_EVERY) {
    add(`column ${i}`, rows, (k) => ({ x: (i - columns / 2) * p, y: (k - rows / 2) * p }));
  }
  return edges;
}

/** Three quarters of a round instrument: bars by ones, fives and tens along an arc, numbered, with a pointer. */
function dialRings({ widthMm, heightMm, pitchMm: p }: Pattern): Ring[] {
  const radius = 0.44 * Math.min(widthMm, heightMm);
  const steps = Math.max(30, Math.floor((1.5 * Math.PI * radius) / p / 10) * 10);
  const length = (k: number): number => radius * (k % 10 === 0 ? 0.16 : k % 5 === 0 ? 0.12 : 0.08);
  const rings: Ring[] = [];
  const width = 0.22 * p;
  for (let k = 0; k <= steps; k++) {
    const turn = 0.75 * Math.PI + (1.5 * Math.PI * k) / steps;
    const bar = rect(radius - length(k), -width / 2, radius, width / 2);
    rings.push(placed(bar, 0, 0, (turn * 180) / Math.PI));
    if (k % 10 !== 0) continue;
    const at = radius * 0.7;
    rings.push(
      ...letter(String(k), at * Math.cos(turn), at * Math.sin(turn), {
        font: "regular",
        capHeightMm: radius * 0.09,
      }),
    );
  }
  rings.push(placed(rect(-0.1 * radius, -0.015 * radius, 0.8 * radius, 0.015 * radius), 0, 0, 250));
  return rings;
}

function keyboard(thing: Pattern, body: Ring, x0: number, y0: number, columns: number, rows: number): Mark[] {
  const p = thing.pitchMm;
  const keys: Ring[] = [];
  const letters: Ring[] = [];
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      const x = x0 + (i + 0.5) * p + (j % 3) * p * 0.15;
      const y = y0 + (j + 0.5) * p;
      keys.push(roundedRect(x - p * 0.42, y - p * 0.42, x + p * 0.42, y + p * 0.42, p * 0.1));
      const character = String.fromCharCode(65 + ((i * 7 + j * 11) % 26));
      letters.push(
        ...letter(character, x - p * 0.15, y - p * 0.12, { font: "regular", capHeightMm: p * 0.24 }),
      );
    }
  }
  return [ink([body], grey(0.12)), ink(keys, grey(0.03)), ink(letters, grey(0.6))];
}

function textRings(thing: Pattern, y0: number, rows: number): Ring[] {
  const random = seededRandom(thing.seed ?? 1);
  const p = thing.pitchMm;
  const perLine = Math.max(1, Math.floor(thing.widthMm / (p * 1.9)));
  const rings: Ring[] = [];
  for (let j = 0; j < rows; j++) {
    const line = Array.from({ length: perLine }, () => WORDS[Math.floor(random() * WORDS.length)]!).join(" ");
    rings.push(
      ...letter(line, -thing.widthMm / 2 + p, y0 + (j + 0.5) * p, {
        font: "regular",
        capHeightMm: p * 0.42,
        alignX: -1,
      }),
    );
  }
  return rings;
}
