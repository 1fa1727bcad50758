import { type FileHandle, open, readFile, rename, rm, stat } from "node:fs/promises";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import {
  type CalibratedScales,
  NO_CALIBRATED_SCALES,
  parseCalibratedScales,
  type Recorded,
} from "@samescale/practice";

/** A department's scales fill kilobytes. */
const MOST_BYTES = 16 * 2 ** 20;

/**
 * Reads the department's calibration record.
 * @throws SamescaleError FILE_MISSING and the like, INPUT_TOO_LARGE, CALIBRATIONS_INVALID
 */
export async function readCalibratedScales(file: string): Promise<CalibratedScales> {
  let text: string;
  try {
    if ((await stat(file)).size > MOST_BYTES) {
      throw new SamescaleError(
        "INPUT_TOO_LARGE",
        `Expected at most ${MOST_BYTES / 2 ** 20} MiB: ${file}`,
        "Check that this is a calibration record.",
      );
    }
    text = await readFile(file, "utf8");
  } catch (thrown) {
    throw asSamescaleError(thrown, file);
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (cause) {
    throw new SamescaleError(
      "CALIBRATIONS_INVALID",
      `The calibration record ${file} is not JSON`,
      "Take it back from a backup, or correct it; docs/print-scale.md shows what it looks like.",
      { cause },
    );
  }
  return parseCalibratedScales(value, file);
}

/**
 * Changes the record, or makes it where there is none. The file is the old one or the new one at any moment; of two
 * people who record at once, the second is told to wait.
 * @throws SamescaleError CALIBRATION_REFUSED with the reason, CALIBRATIONS_BUSY, and as `readCalibratedScales`
 */
export async function changeCalibratedScales(
  file: string,
  change: (record: CalibratedScales) => Recorded,
): Promise<void> {
  const part = `${file}.part`;
  const handle = await opened(part);
  try {
    const outcome = change(await recordOrNone(file));
    if ("refused" in outcome) {
      throw new SamescaleError("CALIBRATION_REFUSED", `Not recorded: ${outcome.refused}.`, outcome.help);
    }
    await handle.writeFile(`${JSON.stringify(outcome.record, null, 2)}\n`);
    await handle.sync();
    await handle.close();
    await rename(part, file);
  } catch (thrown) {
    await handle.close().catch(() => {}); // what went wrong first is what counts
    await rm(part, { force: true });
    throw asSamescaleError(thrown, file);
  }
}

/** The new file, which is also the sign that somebody is writing. */
async function opened(part: string): Promise<FileHandle> {
  try {
    return await open(part, "wx");
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EEXIST") throw asSamescaleError(thrown, part);
    throw new SamescaleError(
      "CALIBRATIONS_BUSY",
      `Somebody else is writing the calibration record: ${part} is there`,
      "Try again; if nobody is, a computer was switched off while writing: delete that file.",
      { cause: thrown },
    );
  }
}

/** The record, or an empty one where there is no file. */
export async function recordOrNone(file: string): Promise<CalibratedScales> {
  try {
    return await readCalibratedScales(file);
  } catch (thrown) {
    if (thrown instanceof SamescaleError && thrown.code === "FILE_MISSING") return NO_CALIBRATED_SCALES;
    throw thrown;
  }
}
