import { writeFile } from "node:fs/promises";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { markerScalePdf, type Paper } from "@samescale/exchange";
import type { MarkerKind, ScaleId } from "@samescale/marker";
import { cautions } from "@samescale/practice";

export interface ScalesToPrint {
  readonly kind: MarkerKind;
  readonly paper: Paper;
  /** One a scale; of labels one a sheet. */
  readonly ids: readonly ScaleId[];
  readonly madeAt: Date;
  readonly out: string;
  /** Write over a file that is there. */
  readonly replace: boolean;
}

/**
 * Writes our own scales as a PDF at true size. Nothing of a patient is in it: no consent is asked.
 * @throws SamescaleError OUTPUT_EXISTS, FILE_NOT_PERMITTED and the like
 */
export async function printScales({ out, replace, ...sheets }: ScalesToPrint): Promise<void> {
  const pdf = await markerScalePdf({
    ...sheets,
    cautions: [cautions["printed-scale"], cautions.measuring],
  });
  try {
    await writeFile(out, pdf, { flag: replace ? "w" : "wx" });
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EEXIST") throw asSamescaleError(thrown, out);
    throw new SamescaleError(
      "OUTPUT_EXISTS",
      `${out} exists already and was left as it is`,
      "Name a new file, or say --replace: a sheet that was printed from it keeps its ids.",
      { cause: thrown },
    );
  }
}
