import { readFile, stat } from "node:fs/promises";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { outlineRepeatsFromCsv } from "@samescale/exchange";
import { type OutlineRepeatability, outlineRepeatabilityOf } from "@samescale/geometry";
import { type OwnRepeats, ownRepeatsOf } from "@samescale/picture";

/** What a table of repeated outlines says; nothing where nobody outlined anything twice. */
export type RepeatsOfTable =
  | ({ readonly file: string; readonly found: true; readonly ownRepeats: OwnRepeats } & OutlineRepeatability)
  | { readonly file: string; readonly found: false; readonly reason: string };

/** Tables of repeats are small. */
const MOST_BYTES = 16 * 2 ** 20;

/**
 * Reads a department's table of repeated outlines, one line per outline.
 * @throws SamescaleError FILE_MISSING and the like, INPUT_TOO_LARGE, REPEATS_NOT_UNDERSTOOD
 */
export async function repeatsOfTable(file: string): Promise<RepeatsOfTable> {
  const found = outlineRepeatabilityOf(outlineRepeatsFromCsv(await textOf(file), file));
  if (!found) {
    return {
      file,
      found: false,
      reason: "Nobody outlined the same thing twice: outline some again, without seeing the first outline.",
    };
  }
  return { file, found: true, ownRepeats: ownRepeatsOf(found), ...found };
}

async function textOf(file: string): Promise<string> {
  try {
    if ((await stat(file)).size <= MOST_BYTES) return await readFile(file, "utf8");
  } catch (thrown) {
    throw asSamescaleError(thrown, file);
  }
  throw new SamescaleError(
    "INPUT_TOO_LARGE",
    `Expected at most ${MOST_BYTES / 2 ** 20} MiB: ${file}`,
    "Check that this is a table of repeated outlines.",
  );
}
