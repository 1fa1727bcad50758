import { heifExif } from "../decode/heif-exif.ts";
import type { PictureKind } from "../decode/picture-kind.ts";
import { boxedDirectory } from "../decode/raw.ts";
import { type ExifTags, readExifTags } from "./exif-tags.ts";

const NOTHING: ExifTags = { values: new Map(), hasMakerNote: false, warnings: [] };

/** The tags of a picture file, wherever its format keeps them. `found` is the block the image library gave. */
export async function exifTagsOf(bytes: Buffer, kind: PictureKind, found: Buffer | null): Promise<ExifTags> {
  if (kind === "heif") return await tagsOrNothing(heifExif(bytes));
  if (kind === "tiff") return await readExifTags(bytes);
  if (kind === "raw") {
    const main = boxedDirectory(bytes, "CMT1");
    if (main) return joined(await tagsOrNothing(boxedDirectory(bytes, "CMT2")), await readExifTags(main));
    const own = await readExifTags(bytes);
    return own.values.size > 0 ? own : await tagsOrNothing(found);
  }
  return await tagsOrNothing(found);
}

const tagsOrNothing = async (block: Buffer | null) => (block ? await readExifTags(block) : NOTHING);

const joined = (first: ExifTags, second: ExifTags): ExifTags => ({
  values: new Map([...second.values, ...first.values]),
  hasMakerNote: first.hasMakerNote || second.hasMakerNote,
  warnings: [...first.warnings, ...second.warnings],
});
