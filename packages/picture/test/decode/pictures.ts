import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after } from "node:test";

/** A folder for one test file's pictures; gone when its tests are over. */
export function pictureFolder(): (name: string, bytes: Uint8Array) => string {
  const folder = mkdtempSync(join(tmpdir(), "samescale-pictures-"));
  after(() => rmSync(folder, { recursive: true }));
  return (name, bytes) => {
    const file = join(folder, name);
    writeFileSync(file, bytes);
    return file;
  };
}

/** Pixels of a small picture, three channels, from a function of column and row. */
export function drawn(
  widthPx: number,
  heightPx: number,
  colour: (x: number, y: number) => readonly [number, number, number],
): Buffer {
  const pixels = Buffer.alloc(widthPx * heightPx * 3);
  for (let y = 0, i = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++, i += 3) pixels.set(colour(x, y), i);
  }
  return pixels;
}

export function pixelAt(
  picture: { readonly widthPx: number; readonly rgb: Uint8Array },
  x: number,
  y: number,
): [number, number, number] {
  const i = 3 * (y * picture.widthPx + x);
  return [picture.rgb[i]!, picture.rgb[i + 1]!, picture.rgb[i + 2]!];
}
