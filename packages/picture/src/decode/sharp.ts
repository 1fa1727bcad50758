import { SamescaleError } from "@samescale/errors";
import sharp from "sharp";

// Photographs are read once: a cache would only hold memory. Parallel work comes from the pool's threads.
sharp.cache(false);
sharp.concurrency(1);

/** 151 MP is the largest sensor in the trade; beyond this a small file may be made to fill memory. */
export const MAX_PIXELS = 200_000_000;

export { sharp };

/** Turns what the decoder says into an error a person can act on. */
export function pictureFault(thrown: unknown, file: string): SamescaleError {
  if (thrown instanceof SamescaleError) return thrown;
  const text = thrown instanceof Error ? thrown.message : String(thrown);
  if (/exceeds pixel limit|too large/i.test(text)) return tooLarge(file, null);
  if (/premature|truncated|end of (file|stream|data)|not enough|unexpected end|out of data/i.test(text)) {
    return new SamescaleError(
      "PICTURE_TRUNCATED",
      `The picture ends before its last line: ${file}`,
      "Copy it from the card again and compare the sizes; a cut-off picture is not measured.",
      { cause: thrown },
    );
  }
  return new SamescaleError(
    "PICTURE_DAMAGED",
    `The picture's data cannot be decoded: ${file}`,
    "Copy it from the card again; if it stays like this, use another frame of the same view.",
    { cause: thrown },
  );
}

export function tooLarge(file: string, size: { widthPx: number; heightPx: number } | null): SamescaleError {
  const received = size ? `, this one claims ${size.widthPx} x ${size.heightPx}` : "";
  return new SamescaleError(
    "PICTURE_TOO_LARGE",
    `Expected at most ${MAX_PIXELS / 1e6} million pixels${received}: ${file}`,
    "Check that this is a photograph; export a larger one in parts.",
  );
}
