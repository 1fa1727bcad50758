import type { LabelAnswer, XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { type DecodedPicture, decodeBytes } from "../decode/decode.ts";
import { fittingSize } from "../decode/fitting-size.ts";
import { sharp } from "../decode/sharp.ts";
import type { LabelInput } from "../pool/tasks.ts";
import { type BarRegion, type Box, printedParts, remainingLeanDeg } from "./printed-parts.ts";
import { ALL_FORMATS, BARRED_FORMATS, type CodeFormat, type GreyBytes, type Hit, scan } from "./scanner.ts";
import { turnedCrop } from "./turned-crop.ts";

/** Most symbols are read at this size, in a sixth of the time that the full picture takes. */
const FIRST_SIDE_PX = 2000;
const SECOND_SIDE_PX = 3000;
/** Wider crops are reduced: no symbol of the trade needs more pixels. */
const MOST_CROP_PX = 2400;
/** Bars are read at a smaller lean than this without trouble. */
const WORTH_TURNING_DEG = 1;
/** Blank paper around a symbol belongs to it (ISO/IEC 15417 asks for ten narrow bars on each side). */
const MARGIN = 0.15;

/**
 * Formats in which a misread can pass for right: no check character or a weak one, or (PDF417) a correction that
 * can turn noise into text. They count only when a second reading, turned straight and at another size, agrees.
 */
const READ_TWICE: ReadonlySet<CodeFormat> = new Set([
  "code39",
  "codabar",
  "itf",
  "ean13",
  "ean8",
  "upca",
  "upce",
  "pdf417",
]);

/** The upright picture at some size, and how to come back to full-size pixels. */
interface View {
  readonly picture: GreyBytes;
  readonly scale: number;
}

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
  const warnings = new Set(small.warnings);
  const first = viewOf(small);
  const parts = printedParts(first.picture);
  const found = new Found(first, warnings);

  await found.add(first, await scan(first.picture, ALL_FORMATS));
  const unread = parts.bars.filter((region) => !found.covers(region.centre, first.scale));
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
  return { file, codes: found.codes, warnings: [...warnings] };
}

/** Collects codes over several searches: once each, in full-size pixels, doubtful ones only when confirmed. */
class Found {
  readonly codes: LabelAnswer["codes"][number][] = [];
  readonly #warnings: Set<string>;
  #best: View;

  constructor(view: View, warnings: Set<string>) {
    this.#best = view;
    this.#warnings = warnings;
  }

  get empty(): boolean {
    return this.codes.length === 0;
  }

  /** From now on confirm in this view, which has more pixels. */
  rereadIn(view: View): void {
    this.#best = view;
  }

  covers(point: { readonly x: number; readonly y: number }, scale: number): boolean {
    return this.codes.some((code) => inside(point.x / scale, point.y / scale, code.corners));
  }

  async add(view: View, hits: readonly Hit[]): Promise<void> {
    for (const hit of hits) {
      const corners = hit.corners.map(
        ([x, y]): XY => [x / view.scale, y / view.scale],
      ) as unknown as Hit["corners"];
      const known = this.codes.some(
        (code) => code.format === hit.format && code.text === hit.text && near(code.corners, corners),
      );
      if (known) continue;
      if (READ_TWICE.has(hit.format) && !(await this.#confirmed(hit, corners))) {
        this.#warnings.add(
          `Something like a ${hit.format} code could not be read the same way twice: left out. Photograph it larger and straight.`,
        );
        continue;
      }
      this.codes.push({ format: hit.format, text: hit.text, aim: hit.aim, corners });
      this.#warnOf(hit);
    }
  }

  async #confirmed(hit: Hit, corners: Hit["corners"]): Promise<boolean> {
    const { picture, scale } = this.#best;
    const [tl, tr, br, bl] = corners.map(([x, y]): XY => [x * scale, y * scale]) as unknown as Hit["corners"];
    const widthPx = Math.max(distance(tl, tr), distance(bl, br));
    const heightPx = Math.max(distance(tl, bl), distance(tr, br), widthPx / 8);
    const rectangle = {
      centre: { x: (tl[0] + tr[0] + br[0] + bl[0]) / 4, y: (tl[1] + tr[1] + br[1] + bl[1]) / 4 },
      deg: (Math.atan2(tr[1] - tl[1] + br[1] - bl[1], tr[0] - tl[0] + br[0] - bl[0]) * 180) / Math.PI,
      widthPx: widthPx * (1 + 2 * MARGIN),
      heightPx: heightPx * (1 + 2 * MARGIN),
    };
    const fitting = Math.min(1, MOST_CROP_PX / rectangle.widthPx);
    for (const factor of [1.25, 0.8]) {
      const again = await scan(turnedCrop(picture, rectangle, fitting * factor), BARRED_FORMATS);
      if (again.some((other) => other.format === hit.format && other.text === hit.text)) return true;
    }
    return false;
  }

  #warnOf(hit: Hit): void {
    if (/[\u0000-\u001f\u007f-\u009f]/.test(hit.text)) {
      this.#warnings.add(`A ${hit.format} code's text holds control characters.`);
    }
    if (hit.format === "itf") {
      this.#warnings.add(
        "An ITF code has no check and can be read short: compare its text with the printed one.",
      );
    }
    if (hit.mirrored) {
      this.#warnings.add(`A ${hit.format} code is mirrored: the picture was taken in a mirror or flipped.`);
    }
    if (hit.part) {
      this.#warnings.add(
        `A ${hit.format} code is part ${hit.part.index + 1} of ${hit.part.of} of a longer text.`,
      );
    }
  }
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
  hits.map((hit) => ({ ...hit, corners: hit.corners.map(toPicture) as unknown as Hit["corners"] }));

function viewOf(picture: DecodedPicture): View {
  const { widthPx, heightPx, rgb } = picture;
  const grey = new Uint8Array(widthPx * heightPx);
  // Rec. 709 luma in whole numbers of 1/65536, as the reader wants bytes.
  for (let i = 0, j = 0; i < grey.length; i++, j += 3) {
    grey[i] = (13933 * rgb[j]! + 46871 * rgb[j + 1]! + 4732 * rgb[j + 2]! + 32768) >> 16;
  }
  return { picture: { widthPx, heightPx, grey }, scale: picture.scale };
}

const distance = (a: XY, b: XY) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Centres nearer to each other than half the first one's longer side. */
function near(a: Hit["corners"], b: Hit["corners"]): boolean {
  const centre = (corners: Hit["corners"]): XY => [
    corners.reduce((sum, [x]) => sum + x, 0) / 4,
    corners.reduce((sum, [, y]) => sum + y, 0) / 4,
  ];
  return distance(centre(a), centre(b)) < Math.max(distance(a[0], a[1]), distance(a[1], a[2])) / 2;
}

/** Whether a point lies in a quadrangle of either turning sense. */
function inside(x: number, y: number, corners: Hit["corners"]): boolean {
  let [left, right] = [false, false];
  for (let i = 0; i < 4; i++) {
    const a = corners[i]!;
    const b = corners[(i + 1) % 4]!;
    const side = (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]);
    if (side > 0) left = true;
    if (side < 0) right = true;
  }
  return !(left && right);
}
