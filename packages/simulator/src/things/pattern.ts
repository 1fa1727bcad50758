import { seededRandom } from "@samescale/geometry";
import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { rect, roundedRect } from "../artwork/shapes.ts";
import { grey, rgb8 } from "../colour/colour.ts";
import { smoothNoise } from "../noise/hash.ts";
import { letter } from "../text/letter.ts";
import { bodyMarks, styleOf } from "./scale-style.ts";
import type { Artwork, Placed } from "./thing.ts";

/** Regular things that are no scale, to be told apart from one. Placed by the middle. */
export interface Pattern extends Placed {
  readonly kind: "pattern";
  readonly pattern: "chessboard" | "grid" | "webbing" | "corrugated" | "keyboard" | "comb" | "text";
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
  return { marks, shadow: { rings: [body], heightMm: 0.6 }, wraps: false };
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
    case "grid": {
      const across: Ring[] = [];
      const down: Ring[] = [];
      const half = (k: number): number => (k % 10 === 0 ? 0.16 : k % 5 === 0 ? 0.1 : 0.06) / 2;
      for (let i = 0; i <= columns; i++)
        across.push(rect(x0 + i * p - half(i), y0, x0 + i * p + half(i), -y0));
      for (let j = 0; j <= rows; j++) down.push(rect(x0, y0 + j * p - half(j), -x0, y0 + j * p + half(j)));
      const line = rgb8(196, 96, 74);
      return [...paper, ink(across, line, 0.8), ink(down, line, 0.8)];
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
    case "webbing":
      return [
        shaded(
          body,
          (x, y) =>
            0.22 +
            0.12 * Math.sin((2 * Math.PI * x) / p) * Math.sin((Math.PI * y) / p) +
            0.05 * Math.sin((2 * Math.PI * (x + y)) / p),
        ),
      ];
    case "corrugated":
      return [
        shaded(
          body,
          (x, y) => 0.42 + 0.11 * Math.sin((2 * Math.PI * (x + 0.3 * smoothNoise(x / 30, y / 30, 3))) / p),
          [1.15, 0.86, 0.6],
        ),
      ];
  }
}

function shaded(
  body: Ring,
  light: (x: number, y: number) => number,
  tint: readonly number[] = [1, 1, 1],
): Mark {
  return {
    rings: [body],
    fill: {
      kind: "paint",
      shade: (x, y, out) => {
        const k = light(x, y) * (1 + 0.05 * smoothNoise(x * 1.7, y * 1.7, 5));
        for (let i = 0; i < 3; i++) out[i] = k * tint[i]!;
        out[3] = 1;
      },
    },
  };
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
