import type { OutlineAnswer } from "../answers.ts";
import { type DecodedPicture, decodePicture } from "../decode/decode.ts";
import type { OutlineInput } from "../pool/tasks.ts";
import { edgeUPx } from "./edge-softness.ts";
import { proposeOutline } from "./propose.ts";
import { WORK_SIDE_PX } from "./work-picture.ts";

const VERSION = 2;
/** Long side at which the picture is decoded: the edge is placed to about a pixel of this. */
const DECODED_SIDE_PX = 4 * WORK_SIDE_PX;

/** The pixels in which `outlineOfFile` finds outlines: with the same ones a browser finds the same outline. */
export const outlinePixels = async ({ file }: { readonly file: string }): Promise<DecodedPicture> =>
  await decodePicture(file, { maxSidePx: DECODED_SIDE_PX });

/** Proposes an outline in one photograph. `seconds` is the time for the outline, without decoding. */
export async function outlineOfFile(input: OutlineInput): Promise<OutlineAnswer> {
  const picture = await outlinePixels(input);
  const start = performance.now();
  const clicks = {
    inside: input.inside,
    outside: input.outside,
    ...(input.box ? { box: input.box } : {}),
    ...(input.steps?.length ? { steps: input.steps } : {}),
  };
  const full = { widthPx: picture.fullWidthPx, heightPx: picture.fullHeightPx };
  const { regions, reason, warnings } = proposeOutline(picture, clicks, full);
  return {
    file: input.file,
    regions: regions.map((region) => ({ ...region, edgeUPx: edgeUPx(region, picture, picture.scale) })),
    ...(reason ? { reason } : {}),
    seconds: Math.round(performance.now() - start) / 1000,
    warnings: [...picture.warnings, ...warnings],
    recipe: { step: "outline", version: VERSION, parameters: { ...clicks } },
  };
}
