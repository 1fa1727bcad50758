import type { GreyCardAnswer } from "../../colour-answers.ts";
import { bytesOfFile } from "../../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes } from "../../decode/decode.ts";
import type { GreyCardInput } from "../../pool/tasks.ts";
import { burntByCorrection, clippingOf } from "../clipping.ts";
import { described } from "../correction.ts";
import { writeCorrected } from "../write-corrected.ts";
import { type Box, greyCard } from "./grey-card.ts";

/** The usual card's. Common practice, no source. */
const ASSUMED_REFLECTANCE = 0.18;
/** Side of what is measured round a point, of the picture's long side. */
const POINT_SHARE = 0.02;
const SIDE_PX = 2400;
/** More than glints. */
const ODD_BURNT = 0.01;

const RECIPE = { step: "colour", version: 2 } as const;

/**
 * White balance and exposure from a grey card that a person points at; no other colour is corrected or checked, and the
 * answer says so. Clipped, coloured or uneven: not found, with the reason; nothing is written.
 *
 * @throws SamescaleError those of reading, decoding and `writeCorrected`
 */
export async function greyCardOfFile(input: GreyCardInput): Promise<GreyCardAnswer> {
  const { file } = input;
  const { bytes, sha256 } = await bytesOfFile(file);
  const picture = await decodeBytes(bytes, file, { maxSidePx: SIDE_PX });
  const reflectance = input.reflectance === undefined ? ASSUMED_REFLECTANCE : input.reflectance;
  const box = boxOf(input.at, picture);
  const [x0, y0, x1, y1] = box.map((v) => v * picture.scale) as unknown as Box;
  const card = greyCard(picture, [x0, y0, x1, y1], reflectance);
  if ("reason" in card) return { file, found: false, reason: card.reason };
  const correction = described(card.correction);
  const recipe = { ...RECIPE, parameters: { by: "grey-card", box, reflectance, correction } };
  const written =
    input.correctedFile === undefined
      ? null
      : await writeCorrected({ file, bytes, sha256 }, card.correction, input.correctedFile, recipe);
  const burnt = burntByCorrection(picture, card.correction);
  return {
    file,
    found: true,
    by: "grey-card",
    box,
    reflectance,
    exposureStops: card.exposureStops,
    castDeltaE00: card.castDeltaE00,
    lightFalloff: card.falloff,
    correction,
    clipping: clippingOf(picture),
    ...(written ? { corrected: written.corrected } : {}),
    warnings: [
      ...picture.warnings,
      "white balance and exposure only: no other colour was corrected or checked",
      ...(input.reflectance === undefined ? ["the card's reflectance was not given: 18 % was assumed"] : []),
      ...card.warnings,
      ...(burnt > ODD_BURNT ? [`the correction burns out ${(100 * burnt).toFixed(1)} % of the picture`] : []),
      ...(written?.warnings ?? []),
    ],
    recipe,
  };
}

/** Full-size pixels: the box as given, or a square round the point, moved into the picture where it reaches beyond. */
function boxOf(at: GreyCardInput["at"], { fullWidthPx, fullHeightPx }: DecodedPicture): Box {
  if (at.length === 4) return at;
  const [x, y] = at;
  const side = POINT_SHARE * Math.max(fullWidthPx, fullHeightPx);
  if (!(x >= 0 && y >= 0 && x <= fullWidthPx && y <= fullHeightPx)) {
    return [x - side / 2, y - side / 2, x + side / 2, y + side / 2];
  }
  const left = Math.max(0, Math.min(fullWidthPx - side, x - side / 2));
  const top = Math.max(0, Math.min(fullHeightPx - side, y - side / 2));
  return [left, top, left + side, top + side];
}
