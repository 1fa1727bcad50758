import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { tablesOfWoff } from "./font-file.ts";
import { type Outlines, outlinesOf } from "./glyphs.ts";

/**
 * The faces that things can be lettered in: three weights of the shipped font, its slanted form, our own line font, or
 * a WOFF file with TrueType outlines.
 */
export type FontName = ShippedFace | "lines" | `${string}.woff`;

type ShippedFace = "light" | "regular" | "bold" | "slanted";

const FILES: Readonly<Record<ShippedFace, string>> = {
  light: "200-normal",
  regular: "400-normal",
  bold: "700-normal",
  slanted: "500-italic",
};

const loaded = new Map<string, Outlines>();

/** Outlines of a face; read once. */
export function outlinesOfFont(name: Exclude<FontName, "lines">): Outlines {
  const known = loaded.get(name);
  if (known) return known;
  const outlines = outlinesOf(tablesOfWoff(readFileSync(fileOf(name))));
  loaded.set(name, outlines);
  return outlines;
}

function fileOf(name: Exclude<FontName, "lines">): string {
  const face = FILES[name as ShippedFace];
  if (!face) return name;
  return fileURLToPath(
    import.meta.resolve(
      `@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-${face}.woff`,
    ),
  );
}
