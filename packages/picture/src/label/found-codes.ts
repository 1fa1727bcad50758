import type { LabelAnswer, XY } from "../answers.ts";
import { endsInBlank } from "./ends-in-blank.ts";
import { gs1Elements } from "./gs1.ts";
import { centreOf, distance, encloses, mapped, type Quadrangle, samePlace } from "./quadrangle.ts";
import { BARRED_FORMATS, type CodeFormat, type Hit, scan } from "./scanner.ts";
import { type View, viewCrop } from "./view.ts";

/** Blank paper around a symbol belongs to it (ISO/IEC 15417 asks for ten narrow bars on each side). */
export const MARGIN = 0.15;
/** Wider crops are reduced: no symbol of the trade needs more pixels. */
export const MOST_CROP_PX = 2400;

/**
 * Formats in which a misread can pass for right: no check character or a weak one, or (PDF417) a correction that
 * was seen to turn noise into text. They count only when a second reading, turned straight and at another size,
 * gives the same text.
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
/** Any part of such a symbol that begins and ends by chance like one is a shorter text: seen with ITF. */
const UNCHECKED: ReadonlySet<CodeFormat> = new Set(["itf"]);
/** Sizes of the second reading: a misread does not survive another sampling. */
const SECOND_READING_SCALES = [1.25, 0.8];

/** Whether a reading lies beside another's line and within its length: the lines that were read are thin. */
function isPartOf(part: Quadrangle, [tl, tr, br, bl]: Quadrangle): boolean {
  const { x, y } = centreOf(part);
  const [left, right] = [centreOf([tl, bl, tl, bl]), centreOf([tr, br, tr, br])];
  const length = Math.hypot(right.x - left.x, right.y - left.y);
  const [ux, uy] = [(right.x - left.x) / length, (right.y - left.y) / length];
  const along = (x - left.x) * ux + (y - left.y) * uy;
  const across = Math.abs((y - left.y) * ux - (x - left.x) * uy);
  return along >= 0 && along <= length && across <= length / 2;
}

type Code = LabelAnswer["codes"][number];

/** Collects codes over several searches: once each, in full-size pixels, doubtful ones only when confirmed. */
export class FoundCodes {
  readonly codes: (Code & { readonly format: CodeFormat })[] = [];
  readonly #doubtful: { readonly format: CodeFormat; readonly corners: Quadrangle }[] = [];
  readonly #warnings = new Set<string>();
  #sharpest: View;
  /** Regions of bars for which there is still time to sharpen and unroll: a picture of stripes must not cost seconds. */
  hardLeft = 2;

  constructor(view: View) {
    this.#sharpest = view;
  }

  get empty(): boolean {
    return this.codes.length === 0;
  }

  /** From now on second readings are made in this view, which has more pixels. */
  rereadIn(view: View): void {
    this.#sharpest = view;
  }

  /** Whether a point, in full-size pixels, lies on a code that was read. */
  covers(x: number, y: number): boolean {
    return this.codes.some(({ corners }) => encloses(corners, x, y));
  }

  /** @param isAgreed several readings gave the same text already */
  async add(view: View, hits: readonly Hit[], isAgreed = false): Promise<void> {
    for (const hit of hits) {
      const corners = mapped(hit.corners, ([x, y]) => [x / view.scale, y / view.scale]);
      const there = this.codes.filter((code) => samePlace(code.corners, corners));
      if (there.some((code) => code.format === hit.format && code.text === hit.text)) continue;
      // A part of a symbol without a check reads like a symbol: the longest of a place counts.
      const overlapping = this.codes.filter(
        (code) =>
          UNCHECKED.has(hit.format) &&
          code.format === hit.format &&
          (isPartOf(corners, code.corners) || isPartOf(code.corners, corners)),
      );
      if (overlapping.some(({ text }) => text.length >= hit.text.length)) continue;
      if (!isAgreed && READ_TWICE.has(hit.format) && !(await this.#confirmed(hit, corners))) {
        this.#doubtful.push({ format: hit.format, corners });
        continue;
      }
      if (there.length > 0)
        this.#warnings.add("Two texts were read in one place: compare both with the print.");
      for (const code of overlapping) this.codes.splice(this.codes.indexOf(code), 1);
      const gs1 = gs1Elements(hit.text, hit.aim);
      const { format, text, aim } = hit;
      this.codes.push({ format, text, aim, gs1: gs1?.elements ?? null, corners });
      for (const said of gs1?.warnings ?? []) this.#warnings.add(said);
      this.#warnOf(hit, gs1 !== null);
      if (isAgreed)
        this.#warnings.add(
          `A ${format} code was read only after sharpening or unrolling it: compare its text with the print.`,
        );
    }
  }

  warnings(): string[] {
    const leftOut = this.#doubtful.filter(
      ({ corners }) => !this.codes.some((code) => samePlace(code.corners, corners)),
    );
    const said = leftOut.map(
      ({ format }) =>
        `A possible ${format} code did not give the same text twice: left out. Photograph it larger.`,
    );
    return [...new Set([...this.#warnings, ...said])];
  }

  async #confirmed(hit: Hit, corners: Quadrangle): Promise<boolean> {
    const { scale } = this.#sharpest;
    const here = mapped(corners, ([x, y]): XY => [x * scale, y * scale]);
    const [tl, tr, br, bl] = here;
    const widthPx = Math.max(distance(tl, tr), distance(bl, br));
    const heightPx = Math.max(distance(tl, bl), distance(tr, br), widthPx / 8);
    const rectangle = {
      centre: centreOf(here),
      deg: (Math.atan2(tr[1] - tl[1] + br[1] - bl[1], tr[0] - tl[0] + br[0] - bl[0]) * 180) / Math.PI,
      widthPx: widthPx * (1 + 2 * MARGIN),
      heightPx: heightPx * (1 + 2 * MARGIN),
    };
    const fitting = Math.min(1, MOST_CROP_PX / rectangle.widthPx);
    for (const factor of SECOND_READING_SCALES) {
      const crop = viewCrop(this.#sharpest, rectangle, fitting * factor);
      const again = (await scan(crop, BARRED_FORMATS)).filter(({ format }) => format === hit.format);
      const same = again.find(({ text }) => text === hit.text);
      if (same && UNCHECKED.has(hit.format)) return endsInBlank(crop, same.corners, hit.text.length);
      if (again.length > 0) return same !== undefined;
    }
    return false;
  }

  #warnOf({ format, text, mirrored, part }: Hit, isGs1: boolean): void {
    // In GS1 content one of them stands between the elements.
    if (!isGs1 && /[\u0000-\u001f\u007f-\u009f]/.test(text)) {
      this.#warnings.add(`A ${format} code's text holds control characters.`);
    }
    if (format === "itf") {
      this.#warnings.add("An ITF code has no check and can be read short: compare its text with the print.");
    }
    if (mirrored) {
      this.#warnings.add(`A ${format} code is mirrored: the picture was taken in a mirror or flipped.`);
    }
    if (part)
      this.#warnings.add(`A ${format} code is part ${part.index + 1} of ${part.of} of a longer text.`);
  }
}
