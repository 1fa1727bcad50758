import type { LabelAnswer, XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes } from "../decode/decode.ts";
import { fittingSize } from "../decode/fitting-size.ts";
import { sharp } from "../decode/sharp.ts";
import type { LabelInput } from "../pool/tasks.ts";
import { FoundCodes, MARGIN, MOST_CROP_PX, type View } from "./found-codes.ts";
import { type BarRegion, type Box, printedParts, remainingLeanDeg } from "./printed-parts.ts";
import { mapped } from "./quadrangle.ts";
import { ALL_FORMATS, BARRED_FORMATS, type Hit, scan } from "./scanner.ts";
import { turnedCrop } from "./turned-crop.ts";

/** Most symbols are read at this size, in a sixth of the time that the full picture takes. */
const FIRST_SIDE_PX = 2000;
const SECOND_SIDE_PX = 3000;
/** Bars are read at a smaller lean than this without trouble. */
const WORTH_TURNING_DEG = 1;

/**
 * Codes in a photograph. Corners are the symbol's own top left, top right, bottom right and bottom left (of a
 * symbol held upright for reading), in upright full-size pixels, outer-corner coordinates, to about a pixel of
 * the size at which it was read; a barred symbol's corners span the lines that were read, not its full height.
 *
 * The picture is searched at 2000 px; where bars are left that gave no code, they are turned straight by their
 * measured direction and read at full size; where nothing is found at all, the detailed part is searched at
 * 3000 px and at full size.
 *
 * @throws SamescaleError as `decodePicture`
 */
export async function labelsOfFile({ file }: LabelInput): Promise<LabelAnswer> {
  const { bytes } = await bytesOfFile(file);
  const decoded = async (maxSidePx: number) => await decodeBytes(bytes, file, { maxSidePx });
  const small = await decoded(FIRST_SIDE_PX);
  const first = viewOf(small);
  const parts = printedParts(first.picture);
  const found = new FoundCodes(first);

  await found.add(first, await scan(first.picture, ALL_FORMATS));
  const unread = parts.bars.filter(
    (region) => !found.covers(region.centre.x / first.scale, region.centre.y / first.scale),
  );
  if (unread.length > 0 || (found.empty && parts.detail !== null && first.scale < 1)) {
    const full = first.scale < 1 ? viewOf(await decoded(Number.POSITIVE_INFINITY)) : first;
    found.rereadIn(full);
    for (const region of unread) await found.add(full, await scanBars(full, region, first.scale));
    if (found.empty && parts.detail) {
      for (const view of await largerViews(full, first)) {
        await found.add(view, await scanBox(view, parts.detail, first.scale));
        if (!found.empty) break;
      }
    }
  }
  return { file, codes: found.codes, warnings: [...small.warnings, ...found.warnings()] };
}

async function scanBars(view: View, region: BarRegion, regionScale: number): Promise<Hit[]> {
  const factor = view.scale / regionScale;
  const rectangle = {
    centre: { x: region.centre.x * factor, y: region.centre.y * factor },
    deg: region.acrossDeg,
    widthPx: region.acrossPx * factor * (1 + 2 * MARGIN),
    heightPx: region.alongPx * factor * (1 + 2 * MARGIN),
  };
  const scale = Math.min(1, MOST_CROP_PX / Math.max(rectangle.widthPx, rectangle.heightPx));
  const crop = turnedCrop(view.picture, rectangle, scale);
  const lean = remainingLeanDeg(crop);
  const straight =
    Math.abs(lean) < WORTH_TURNING_DEG
      ? crop
      : turnedCrop(view.picture, { ...rectangle, deg: rectangle.deg + lean }, scale);
  return inPicture(await scan(straight, BARRED_FORMATS), straight.toPicture);
}

/** A step in size below which a second search would see the same. */
const WORTHWHILE_STEP = 1.3;

/** The picture at 3000 px and at full size, as far as each is a real step up from the one before. */
async function largerViews(full: View, searched: View): Promise<View[]> {
  const { widthPx, heightPx, grey } = full.picture;
  const sizes = [fittingSize(full.picture, SECOND_SIDE_PX), { widthPx, heightPx, scale: 1 }];
  const views: View[] = [];
  let lastScale = searched.scale;
  for (const size of sizes) {
    if (size.scale < WORTHWHILE_STEP * lastScale) continue;
    lastScale = size.scale;
    if (size.scale === 1) views.push(full);
    else {
      const reduced = await sharp(grey, { raw: { width: widthPx, height: heightPx, channels: 1 } })
        .resize({ width: size.widthPx, height: size.heightPx, fit: "fill" })
        .extractChannel(0)
        .raw()
        .toBuffer();
      views.push({ picture: { ...size, grey: reduced }, scale: size.scale });
    }
  }
  return views;
}

async function scanBox(view: View, box: Box, boxScale: number): Promise<Hit[]> {
  const { widthPx, heightPx, grey } = view.picture;
  const factor = view.scale / boxScale;
  const marginPx = MARGIN * Math.max(box.x1 - box.x0, box.y1 - box.y0) * factor;
  const x0 = Math.max(0, Math.floor(box.x0 * factor - marginPx));
  const y0 = Math.max(0, Math.floor(box.y0 * factor - marginPx));
  const x1 = Math.min(widthPx, Math.ceil(box.x1 * factor + marginPx));
  const y1 = Math.min(heightPx, Math.ceil(box.y1 * factor + marginPx));
  const part = new Uint8Array((x1 - x0) * (y1 - y0));
  for (let y = y0; y < y1; y++) {
    part.set(grey.subarray(y * widthPx + x0, y * widthPx + x1), (y - y0) * (x1 - x0));
  }
  const hits = await scan({ widthPx: x1 - x0, heightPx: y1 - y0, grey: part }, ALL_FORMATS);
  return inPicture(hits, ([x, y]) => [x + x0, y + y0]);
}

const inPicture = (hits: readonly Hit[], toPicture: (point: XY) => XY): Hit[] =>
  hits.map((hit) => ({ ...hit, corners: mapped(hit.corners, toPicture) }));

function viewOf(picture: DecodedPicture): View {
  const { widthPx, heightPx, rgb } = picture;
  const grey = new Uint8Array(widthPx * heightPx);
  // Rec. 709 luma in whole numbers of 1/65536, as the reader wants bytes.
  for (let i = 0, j = 0; i < grey.length; i++, j += 3) {
    grey[i] = (13933 * rgb[j]! + 46871 * rgb[j + 1]! + 4732 * rgb[j + 2]! + 32768) >> 16;
  }
  return { picture: { widthPx, heightPx, grey }, scale: picture.scale };
}
