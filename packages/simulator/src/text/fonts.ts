import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { tablesOfWoff } from "./font-file.ts";
import { type Outlines, outlinesOf } from "./glyphs.ts";

/** The faces that things can be lettered in: three weights of the shipped font, its slanted form, our own line font. */
export type FontName = "light" | "regular" | "bold" | "slanted" | "lines";

const FILES: Readonly<Record<Exclude<FontName, "lines">, string>> = {
  light: "200-normal",
  regular: "400-normal",
  bold: "700-normal",
  slanted: "500-italic",
};

const loaded = new Map<string, Outlines>();

/** Outlines of a shipped face; read once. */
export function shippedFont(name: Exclude<FontName, "lines">): Outlines {
  const known = loaded.get(name);
  if (known) return known;
  const file = `@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-${FILES[name]}.woff`;
  const outlines = outlinesOf(tablesOfWoff(readFileSync(fileURLToPath(import.meta.resolve(file)))));
  loaded.set(name, outlines);
  return outlines;
}
