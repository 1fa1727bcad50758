import type { LabelAnswer, XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes, wholeGreyOf } from "../decode/decode.ts";
import type { LabelInput } from "../pool/tasks.ts";
import { FoundCodes, MARGIN, MOST_CROP_PX } from "./found-codes.ts";
import { readHardBars } from "./hard-bars.ts";
import { type BarRegion, type Box, printedParts, remainingLeanDeg } from "./printed-parts.ts";
import { mapped } from "./quadrangle.ts";
import { isResolved } from "./resolved.ts";
import { ALL_FORMATS, BARRED_FORMATS, type GreyBytes, type Hit, SQUARE_FORMATS, scan } from "./scanner.ts";
import { isSymbolLike } from "./symbol-like.ts";
import type { TurnedRectangle } from "./turned-crop.ts";
import { type View, viewCrop } from "./view.ts";

/** Most symbols are read at this size, in a sixth of the time that the full picture takes. */
export const FIRST_SIDE_PX = 2000;
/** Bars are read at a smaller lean than this without trouble. */
const WORTH_TURNING_DEG = 1;

/**
 * Codes in a photograph. Corners are the symbol's own top left, top right, bottom right and bottom left (of a
 * symbol held upright for reading), in upright full-size pixels, outer-corner coordinates, to about a pixel of
 * the size at which it was read; a barred symbol's corners span the lines that were read, not its full height.
 *
 * The picture is searched at 2000 px; where bars are left that gave no code, they are turned straight by their
 * measured direction and read at full size, then sharpened and unrolled; what else is as busy as print is searched
 * there for codes of squares, and for bars that only full size shows. The graduations of a scale are passed over.
 *
 * @throws SamescaleError as `decodePicture`
 */
export async function labelsOfFile({ file, quick = false }: LabelInput): Promise<LabelAnswer> {
  const { bytes } = await bytesOfFile(file);
  const small = await decodeBytes(bytes, file, { maxSidePx: FIRST_SIDE_PX });
  return await labelsOfBytes(bytes, file, small, quick);
}

/** The same for a file that was read and decoded at `FIRST_SIDE_PX` already; `file` is named in errors. */
export async function labelsOfBytes(
  bytes: Buffer,
  file: string,
  small: DecodedPicture,
  quick = false,
): Promise<LabelAnswer> {
  const first: View = { picture: small, scale: small.scale, left: 0, top: 0 };
  const grey = wholeGreyOf(small) as GreyBytes;
  const found = new FoundCodes(first);
  const parts = printedParts(grey);
  // Smoothing noise away takes half of the search, and brings nothing where nothing is as busy as print.
  const isBare = parts.bars.length + parts.spots.length === 0;
  await found.add(first, await scan(grey, ALL_FORMATS, isBare ? "clean" : "all"));
  if (quick) return { file, codes: found.codes, warnings: [...small.warnings, ...found.warnings()] };
  const unread = parts.bars.filter(
    (region) =>
      !found.covers(region.centre.x / first.scale, region.centre.y / first.scale) &&
      isSymbolLike(viewCrop(first, rectangleOf(region, 1), 1)),
  );
  const spots = parts.spots.filter(
    (spot) =>
      first.scale < 1 &&
      !found.covers((spot.x0 + spot.x1) / 2 / first.scale, (spot.y0 + spot.y1) / 2 / first.scale) &&
      !isResolved(grey, spot),
  );
  if (unread.length + spots.length > 0) {
    const full =
      first.scale < 1 ? await partAtFullSize(bytes, file, small, [...unread.map(boxOf), ...spots]) : first;
    found.rereadIn(full);
    for (const region of unread) await scanBars(full, rectangleOf(region, full.scale / first.scale), found);
    await scanSpots(full, spots, first.scale, found);
  }
  return { file, codes: found.codes, warnings: [...small.warnings, ...found.warnings()] };
}

/** A region of bars in a picture `factor` times as large. */
const rectangleOf = (region: BarRegion, factor: number): TurnedRectangle => ({
  centre: { x: region.centre.x * factor, y: region.centre.y * factor },
  deg: region.acrossDeg,
  widthPx: region.acrossPx * factor,
  heightPx: region.alongPx * factor,
});

/** What is looked at around a region: margins on two sides, a second reading's margins around those, and a further turn. */
const AROUND = 0.5;

/** Upright box round a region of bars. */
function boxOf({ acrossDeg, centre, acrossPx, alongPx }: BarRegion): Box {
  const angle = (acrossDeg * Math.PI) / 180;
  const [cos, sin] = [Math.abs(Math.cos(angle)), Math.abs(Math.sin(angle))];
  const [halfWide, halfHigh] = [(acrossPx * cos + alongPx * sin) / 2, (acrossPx * sin + alongPx * cos) / 2];
  return {
    x0: centre.x - halfWide,
    y0: centre.y - halfHigh,
    x1: centre.x + halfWide,
    y1: centre.y + halfHigh,
  };
}

/** The least part of the picture that holds all of the boxes: filling memory with the rest takes longer than decoding it. */
async function partAtFullSize(
  bytes: Buffer,
  file: string,
  { scale, fullWidthPx, fullHeightPx }: DecodedPicture,
  boxes: readonly Box[],
): Promise<View> {
  let [left, top, right, bottom] = [fullWidthPx, fullHeightPx, 0, 0];
  for (const { x0, y0, x1, y1 } of boxes) {
    const around = AROUND * Math.max(x1 - x0, y1 - y0);
    left = Math.min(left, Math.max(0, Math.floor((x0 - around) / scale)));
    top = Math.min(top, Math.max(0, Math.floor((y0 - around) / scale)));
    right = Math.max(right, Math.min(fullWidthPx, Math.ceil((x1 + around) / scale)));
    bottom = Math.max(bottom, Math.min(fullHeightPx, Math.ceil((y1 + around) / scale)));
  }
  const part = { left, top, widthPx: right - left, heightPx: bottom - top };
  return { picture: await decodeBytes(bytes, file, { part }), scale: 1, left, top };
}

/** Bars turned straight and read; small ones enlarged as well, as the reader wants more than a pixel a narrow bar. */
async function scanBars(view: View, region: TurnedRectangle, found: FoundCodes): Promise<void> {
  const widthPx = region.widthPx * (1 + 2 * MARGIN);
  const heightPx = region.heightPx * (1 + 2 * MARGIN);
  const rectangle = { ...region, widthPx, heightPx };
  const fitting = Math.min(1, MOST_CROP_PX / Math.max(widthPx, heightPx));
  const crop = viewCrop(view, rectangle, fitting);
  const lean = remainingLeanDeg(crop);
  const straight = { ...rectangle, deg: rectangle.deg + (Math.abs(lean) < WORTH_TURNING_DEG ? 0 : lean) };
  for (const scale of widthPx <= SMALL_BARS_PX ? [fitting, 2] : [fitting]) {
    const turned = viewCrop(view, straight, scale);
    const hits = await scan(turned, BARRED_FORMATS);
    await found.add(view, inPicture(hits, turned.toPicture));
    if (hits.length > 0) return;
  }
  if (widthPx > MOST_HARD_PX || found.hardLeft-- <= 0) return;
  const turned = viewCrop(view, { ...rectangle, deg: rectangle.deg + lean }, fitting);
  const hits = await readHardBars(turned, MARGIN);
  await found.add(view, inPicture(hits, turned.toPicture), true);
}

/** What is looked at again at a larger size, in pixels of that size: a tenth of a second's work. */
const MOST_SPOT_PX = 6_000_000;
/** A step in size below which a second search would see the same. */
const WORTHWHILE_STEP = 1.3;
/** Spots no larger than this may hold squares too small for the reader, and cost little to enlarge. */
const SMALL_SPOT_PX = 400;
const SMALL_BARS_PX = 900;
/** Wider symbols have bars of many pixels: sharpening takes long there and is not what they need. */
const MOST_HARD_PX = 1300;

/** Squares that were too small to read in the first search, spot by spot at full size while there is time. */
async function scanSpots(full: View, spots: readonly Box[], spotScale: number, found: FoundCodes) {
  let left = MOST_SPOT_PX;
  for (const spot of spots) {
    const factor = full.scale / spotScale;
    const widthPx = (spot.x1 - spot.x0) * factor;
    const heightPx = (spot.y1 - spot.y0) * factor;
    const scale = Math.min(1, Math.sqrt(left / (widthPx * heightPx)));
    if (scale * factor < WORTHWHILE_STEP) continue;
    const centre = { x: ((spot.x0 + spot.x1) / 2) * factor, y: ((spot.y0 + spot.y1) / 2) * factor };
    const sizes = Math.max(widthPx, heightPx) <= SMALL_SPOT_PX ? [1, 2] : [scale];
    for (const size of sizes) {
      const crop = viewCrop(full, { centre, deg: 0, widthPx, heightPx }, size);
      left -= crop.widthPx * crop.heightPx;
      const hits = await scan(crop, SQUARE_FORMATS, "once");
      await found.add(full, inPicture(hits, crop.toPicture));
      if (hits.length > 0) break;
    }
    if (scale === 1 && !found.covers(centre.x / full.scale, centre.y / full.scale)) {
      const crop = viewCrop(full, { centre, deg: 0, widthPx, heightPx }, 1);
      for (const region of printedParts(crop).bars) {
        const [x, y] = crop.toPicture([region.centre.x, region.centre.y]);
        const bars = { ...rectangleOf(region, 1), centre: { x, y } };
        if (isSymbolLike(viewCrop(full, bars, 1))) await scanBars(full, bars, found);
      }
    }
    if (left <= 0) return;
  }
}

const inPicture = (hits: readonly Hit[], toPicture: (point: XY) => XY): Hit[] =>
  hits.map((hit) => ({ ...hit, corners: mapped(hit.corners, toPicture) }));
