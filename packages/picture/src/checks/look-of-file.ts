import { decodePicture, wholeGreyOf } from "../decode/decode.ts";
import { infoOfFile } from "../info/info-of-file.ts";
import type { BedsideAnswer, LookAnswer } from "../look-answer.ts";
import type { LookInput, ScaleInput } from "../pool/tasks.ts";
import { type GreyOfFile, scaleOfGrey } from "../scale/scale-of-file.ts";
import { look } from "./look.ts";
import { type Reduced, reduced } from "./reduced.ts";

/** What one frame shows beyond its scale. Only what cannot be decoded throws, as `decodePicture` does. */
export async function lookOfFile({ file, scale }: LookInput): Promise<LookAnswer> {
  const { cells, grey } = await seen(file);
  return { file, ...look(cells, grey.picture, scale), warnings: grey.warnings };
}

/** The scale's reading and the look, from one decoding: at the bedside every second counts. Throws as `lookOfFile`. */
export async function bedsideOfFile(input: ScaleInput): Promise<BedsideAnswer> {
  const { file } = input;
  const start = performance.now();
  const info = await infoOfFile({ file });
  const { cells, grey } = await seen(file);
  const decoded = performance.now();
  const scale = await scaleOfGrey(input, info, grey);
  const read = performance.now();
  const looked = { file, ...look(cells, grey.picture, scale), warnings: grey.warnings };
  return {
    scale,
    look: looked,
    seconds: {
      decode: (decoded - start) / 1000,
      scale: (read - decoded) / 1000,
      look: (performance.now() - read) / 1000,
    },
  };
}

/** The colours, three times as large as the grey, are let go before anything else begins. */
async function seen(file: string): Promise<{ readonly cells: Reduced; readonly grey: GreyOfFile }> {
  const picture = await decodePicture(file);
  return { cells: reduced(picture), grey: { picture: wholeGreyOf(picture), warnings: picture.warnings } };
}
