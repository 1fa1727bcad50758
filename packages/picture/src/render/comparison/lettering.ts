import { createRequire } from "node:module";
import { type Font, openSync } from "fontkit";

const require = createRequire(import.meta.url);
const fonts = new Map<number, Font>();

export interface Lettering {
  readonly capPx: number;
  readonly bold?: boolean;
  readonly fill: string;
}

/** A line of text as outlines, so that no typeface of the machine is needed. `x`, `y`: left end of its base line. */
export function lineOfText(text: string, x: number, y: number, { capPx, bold, fill }: Lettering): string {
  const font = fontOf(bold);
  const k = capPx / font.capHeight;
  const { glyphs, positions } = font.layout(text);
  let at = 0;
  const drawn = glyphs.map((glyph, i) => {
    const path = `<path transform="translate(${at} 0)" d="${glyph.path.toSVG()}"/>`;
    at += positions[i]!.xAdvance;
    return path;
  });
  return `<g fill="${fill}" transform="translate(${x} ${y}) scale(${k} ${-k})">${drawn.join("")}</g>`;
}

/** Broken at spaces so that no line is wider than it may be. */
export function wrapped(text: string, widthPx: number, how: Lettering): string[] {
  const lines: string[] = [];
  for (const word of text.split(" ")) {
    const longer = lines.length > 0 ? `${lines.at(-1)} ${word}` : word;
    if (lines.length > 0 && widthOf(longer, how) <= widthPx) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

const widthOf = (text: string, { capPx, bold }: Lettering) => {
  const font = fontOf(bold);
  return (font.layout(text).advanceWidth * capPx) / font.capHeight;
};

function fontOf(bold = false): Font {
  const weight = bold ? 700 : 400;
  const known = fonts.get(weight);
  if (known) return known;
  const file = `@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-${weight}-normal.woff`;
  const font = openSync(require.resolve(file));
  fonts.set(weight, font);
  return font;
}
