import { randomInt } from "node:crypto";
import { writeFile } from "node:fs/promises";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { markerScalePdf, type Paper } from "@samescale/exchange";
import { type MarkerKind, newScaleId, type ScaleId } from "@samescale/marker";
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

/** Our own scales as a PDF at true size; new ids are drawn where none are named. Nothing of a patient is in it. */
export async function scalesPdf(wanted: {
  readonly kind: MarkerKind;
  readonly paper: Paper;
  readonly count: number;
  readonly madeAt: Date;
}): Promise<{ readonly pdf: Buffer; readonly ids: readonly ScaleId[] }> {
  const { kind, paper, count, madeAt } = wanted;
  const drawn = new Set<ScaleId>();
  while (drawn.size < count) drawn.add(newScaleId(kind, () => randomInt(2 ** 32) / 2 ** 32));
  const ids = [...drawn];
  return { pdf: await markerScalePdf({ kind, paper, ids, madeAt, cautions: CAUTIONS }), ids };
}

const CAUTIONS = [cautions["printed-scale"], cautions.measuring];

/**
 * Writes our own scales as a PDF at true size. Nothing of a patient is in it: no consent is asked.
 * @throws SamescaleError OUTPUT_EXISTS, FILE_NOT_PERMITTED and the like
 */
export async function printScales({ out, replace, ...sheets }: ScalesToPrint): Promise<void> {
  const pdf = await markerScalePdf({ ...sheets, cautions: CAUTIONS });
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
