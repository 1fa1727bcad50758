import { type CodeFormat, codeArt } from "../artwork/code.ts";
import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { placed, rect, roundedRect } from "../artwork/shapes.ts";
import { grey } from "../colour/colour.ts";
import { letter } from "../text/letter.ts";
import { bodyMarks, styleOf } from "./scale-style.ts";
import type { Artwork, NamedPoint, Placed } from "./thing.ts";

/** A printed card with lines of text and a code: what the first frame of a patient shows. Placed by its middle. */
export interface Card extends Placed {
  readonly kind: "card";
  readonly widthMm: number;
  readonly heightMm: number;
  /** The first line is set larger. */
  readonly lines: readonly string[];
  readonly code?: {
    readonly format: CodeFormat;
    readonly text: string;
    readonly widthMm: number;
    readonly heightMm?: number;
  };
  readonly seed?: number;
}

const QUIET_MM = 4;

export function card(thing: Card): Artwork {
  const { widthMm: w, heightMm: h } = thing;
  const style = styleOf({ material: "paper", seed: thing.seed ?? 1 });
  const body = roundedRect(-w / 2, -h / 2, w / 2, h / 2, 1.5);
  const rings: Ring[] = [];
  const cap = h / (Math.max(5, thing.lines.length) * 2.6 + 3);
  thing.lines.forEach((line, i) => {
    const y = -h / 2 + cap * (1.9 + i * 2.15);
    rings.push(
      ...letter(line, -w / 2 + QUIET_MM, y, {
        font: i === 0 ? "bold" : "regular",
        capHeightMm: i === 0 ? cap * 1.15 : cap * 0.85,
        alignX: -1,
      }),
    );
  });
  rings.push(
    rect(-w / 2 + 2, -h / 2 + 2, w / 2 - 2, -h / 2 + 2.4),
    rect(-w / 2 + 2, h / 2 - 2.4, w / 2 - 2, h / 2 - 2),
  );
  const points: NamedPoint[] = [];
  if (thing.code) {
    const { format, text, widthMm, heightMm } = thing.code;
    const art = codeArt(format, text, widthMm, heightMm);
    const x = w / 2 - QUIET_MM - art.widthMm;
    const y = h / 2 - QUIET_MM - art.heightMm;
    rings.push(...art.rings.map((ring) => placed(ring, x, y)));
    points.push(...cornersOf("code", x, y, art.widthMm, art.heightMm));
  }
  const marks: Mark[] = [...bodyMarks([body], style), ink(rings, grey(0.035))];
  return {
    marks,
    shadow: { rings: [body], heightMm: 0.3 },
    wraps: false,
    points,
    facts: {
      lines: thing.lines,
      code: thing.code ? { format: thing.code.format, text: thing.code.text } : null,
    },
  };
}

/** Corners in reading order: top left, top right, bottom right, bottom left. */
export function cornersOf(name: string, x: number, y: number, w: number, h: number): NamedPoint[] {
  return [
    { name: `${name} corner 1`, x, y },
    { name: `${name} corner 2`, x: x + w, y },
    { name: `${name} corner 3`, x: x + w, y: y + h },
    { name: `${name} corner 4`, x, y: y + h },
  ];
}
