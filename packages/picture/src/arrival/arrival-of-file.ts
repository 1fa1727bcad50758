import { type ErrorReport, reportOf } from "@samescale/errors";
import type { InfoAnswer, LabelAnswer } from "../answers.ts";
import { bytesOfFile, type FileBytes } from "../decode/bytes-of-file.ts";
import { decodeBytes } from "../decode/decode.ts";
import { infoOfBytes } from "../info/info-of-file.ts";
import { FIRST_SIDE_PX, labelsOfBytes } from "../label/labels-of-file.ts";
import { type SmallPicture, smallPictures } from "./small-pictures.ts";

/** Everything that is asked of a photograph when it comes in. What failed is null or empty, and told. */
export interface ArrivalAnswer {
  readonly info: InfoAnswer | null;
  readonly codes: LabelAnswer["codes"] | null;
  /** What `codes` comes with. */
  readonly labelWarnings: readonly string[];
  readonly pictures: readonly SmallPicture[];
  readonly faults: readonly ErrorReport[];
}

/**
 * Metadata, label codes, preview and thumbnail of one file, read once and decoded once: the preview's pixels are those
 * in which labels are looked for first.
 *
 * @throws SamescaleError as `bytesOfFile`; whatever comes behind that is told in `faults`
 */
export async function arrivalOfFile({ file }: { readonly file: string }): Promise<ArrivalAnswer> {
  const read = await bytesOfFile(file);
  const faults: ErrorReport[] = [];
  const told = (thrown: unknown) => {
    const fault = reportOf(thrown, file);
    if (!faults.some(({ message }) => message === fault.message)) faults.push(fault);
    return null;
  };
  const info = await infoOfBytes(read, file).catch(told);
  const looked = await look(read, file).catch(told);
  const pictures = looked === null ? [] : ((await smallPictures(looked.small).catch(told)) ?? []);
  return {
    info,
    codes: looked?.label.codes ?? null,
    labelWarnings: looked?.label.warnings ?? [],
    pictures,
    faults,
  };
}

async function look({ bytes }: FileBytes, file: string) {
  const small = await decodeBytes(bytes, file, { maxSidePx: FIRST_SIDE_PX });
  return { small, label: await labelsOfBytes(bytes, file, small) };
}
