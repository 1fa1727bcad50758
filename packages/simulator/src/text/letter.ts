import type { Ring } from "../artwork/mark.ts";
import { placed, stroke } from "../artwork/shapes.ts";
import { type FontName, outlinesOfFont } from "./fonts.ts";
import { lineCharacter } from "./line-font.ts";

export interface Lettering {
  readonly font: FontName;
  readonly capHeightMm: number;
  /** Where the anchor lies in the text: -1 left or top, 0 middle, 1 right or bottom (of the cap height). */
  readonly alignX?: -1 | 0 | 1;
  readonly alignY?: -1 | 0 | 1;
  /** Clockwise. */
  readonly turnDeg?: number;
}

/** Outlines of a line of text round an anchor, in the thing's own millimetres. */
export function letter(text: string, xMm: number, yMm: number, how: Lettering): Ring[] {
  const line = how.font === "lines" ? engraved(text) : typeset(text, how.font);
  const cap = how.capHeightMm;
  const dx = -((how.alignX ?? 0) + 1) * 0.5 * line.width;
  const dy = -((how.alignY ?? 0) + 1) * 0.5;
  return line.rings.map((ring) => placed(placed(ring, dx, dy), xMm, yMm, how.turnDeg ?? 0, cap));
}

/** One character of a line of text: its middle (half its advance, half the cap height) and the middle of its top. */
export interface CharacterPlace {
  readonly character: string;
  readonly x: number;
  readonly y: number;
  readonly topX: number;
  readonly topY: number;
}

/** Where the characters of the same line of text stand, spaces left out. */
export function characterPlaces(text: string, xMm: number, yMm: number, how: Lettering): CharacterPlace[] {
  const cap = how.capHeightMm;
  const places: CharacterPlace[] = [];
  for (let i = 0; i < text.length; i++) {
    if (text[i] === " ") continue;
    const [from, to] = [text.slice(0, i), text.slice(0, i + 1)].map((t) => textWidthMm(t, how.font, cap));
    const x = (from! + to!) / 2 - ((how.alignX ?? 0) + 1) * 0.5 * textWidthMm(text, how.font, cap);
    const y = -(how.alignY ?? 0) * 0.5 * cap;
    const [centre, top] = [y, y - 0.5 * cap].map((v) =>
      placed(Float64Array.of(x, v), xMm, yMm, how.turnDeg ?? 0),
    );
    places.push({ character: text[i]!, x: centre![0]!, y: centre![1]!, topX: top![0]!, topY: top![1]! });
  }
  return places;
}

/** Width of a line of text in mm. */
export function textWidthMm(text: string, font: FontName, capHeightMm: number): number {
  return (font === "lines" ? engraved(text) : typeset(text, font)).width * capHeightMm;
}

/** In cap heights, y down from the cap line. */
function typeset(text: string, font: Exclude<FontName, "lines">): { rings: Ring[]; width: number } {
  const outlines = outlinesOfFont(font);
  const scale = 1 / outlines.capHeight;
  const rings: Ring[] = [];
  let x = 0;
  for (const character of text) {
    const glyph = outlines.glyph(character.codePointAt(0)!);
    for (const contour of glyph.contours) {
      const ring = new Float64Array(contour.length);
      for (let i = 0; i < contour.length; i += 2) {
        ring[i] = x + contour[i]! * scale;
        ring[i + 1] = 1 - contour[i + 1]! * scale;
      }
      rings.push(ring);
    }
    x += glyph.advance * scale;
  }
  return { rings, width: x };
}

function engraved(text: string): { rings: Ring[]; width: number } {
  const rings: Ring[] = [];
  let x = 0;
  for (const character of text) {
    const { lines, advance } = lineCharacter(character);
    for (const line of lines) {
      rings.push(
        ...stroke(
          line.map(([px, py]): [number, number] => [x + px, py]),
          0.11,
        ),
      );
    }
    x += advance;
  }
  return { rings, width: Math.max(0, x - 0.23) };
}
