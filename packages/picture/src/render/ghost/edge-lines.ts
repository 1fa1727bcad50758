import { contains } from "@samescale/geometry";
import { blurred, type Plane, resized } from "../../align/plane.ts";
import type { OutlineRegion } from "../../answers.ts";
import { wholeGreyOf } from "../../decode/decode.ts";
import type { Size } from "../../decode/fitting-size.ts";
import type { UprightPicture } from "../../decode/picture.ts";
import { type Cv, mat8, type Scope, withVision } from "../../vision/opencv.ts";

/** Narrower things are hairs, which lie elsewhere next time. Pixels of a picture 1600 wide, as all lengths here. */
const HAIR_PX = 11;
const BLUR_PX = 3.5;
/** Light falls otherwise at every visit: what is broader than this is taken out first. */
const BROAD_PX = 80;
/** Share of the pixels that may begin a line, and how much weaker ones may go on with it. Set by eye on rendered skin. */
const BEGIN_SHARE = 0.02;
const GO_ON = 0.4;
/** Contrast of a place, root mean square in grey levels, that is not raised further: it would be the skin's own texture. */
const LEAST_CONTRAST = 3;
/** How far contrasts are brought to the same: 0 not at all, 1 altogether. */
const EVENED = 0.6;
/** Of the gradient; below it lines would follow the rounding to whole grey levels and the blocks of a JPEG. */
const LEAST_GRADIENT = 20;
/** Nearer to where the photograph ends or a scale lies, its end itself would be an edge. */
const MARGIN_PX = 20;
/** Shorter lines are specks. */
const LEAST_LINE_PX = 36;

/**
 * Lines along the edges that a person steers by: rim of a wound, moles, outline of a limb. 1 on a line, else 0.
 * @source Canny1986 (edges by hysteresis)
 * @param cover 1 where the picture counts
 * @param leftOut nothing is drawn in these: a scale lies elsewhere next time
 */
export async function edgeLines(
  picture: UprightPicture,
  cover: Uint8Array,
  leftOut: readonly OutlineRegion[],
): Promise<Uint8Array> {
  const { widthPx, heightPx } = picture;
  const { grey } = wholeGreyOf(picture);
  const k = Math.max(widthPx, heightPx) / 1600;
  return await withVision((cv, scope): Uint8Array => {
    const counts = inside(cv, scope, without(cover, picture, leftOut), picture, MARGIN_PX * k);
    const from = mat8(
      cv,
      scope,
      widthPx,
      heightPx,
      evened(cv, scope, Uint8Array.from(grey), counts, picture, k),
    );
    const gradient = (x: number, y: number): Int16Array => {
      const to = scope.own(new cv.Mat());
      cv.Sobel(from, to, cv.CV_16S, x, y, 3);
      return to.data16S;
    };
    const begin = beginAt(gradient(1, 0), gradient(0, 1), counts);
    const edges = scope.own(new cv.Mat());
    cv.Canny(from, edges, GO_ON * begin, begin, 3, true);
    const kept = edges.data.map((v, i) => (v > 0 && counts[i] ? 1 : 0));
    return longOnes(cv, scope, kept, picture, LEAST_LINE_PX * k);
  });
}

/** What lies farther than that from everything that is not covered. */
function inside(cv: Cv, scope: Scope, cover: Uint8Array, { widthPx, heightPx }: Size, marginPx: number) {
  const side = 2 * Math.ceil(marginPx) + 1;
  const to = scope.own(new cv.Mat());
  const kernel = scope.own(cv.getStructuringElement(cv.MORPH_RECT, new cv.Size(side, side)));
  cv.erode(mat8(cv, scope, widthPx, heightPx, cover), to, kernel);
  return to.data.slice();
}

/** Scales are white, grey, black or of steel; skin is not. Between the largest and the smallest channel. */
const LEAST_COLOUR = 24;

/** The places of scales are told generously, as their width is not known: what is coloured in them is the subject again. */
function without(cover: Uint8Array, picture: UprightPicture, regions: readonly OutlineRegion[]): Uint8Array {
  const { widthPx, heightPx } = picture;
  const counts = cover.slice();
  const colour = colourOfBlocks(picture);
  for (const { outline } of regions) {
    const ring = { outline: outline.map(([x, y]) => ({ x, y })), holes: [] };
    const ys = outline.map(([, y]) => y);
    const [first, last] = [Math.max(0, Math.min(...ys)), Math.min(heightPx - 1, Math.max(...ys))];
    for (let y = Math.floor(first); y <= last; y++) {
      for (let x = 0; x < widthPx; x++) {
        if (colour.at(x, y) > LEAST_COLOUR || !contains(ring, { x: x + 0.5, y: y + 0.5 })) continue;
        counts[y * widthPx + x] = 0;
      }
    }
  }
  return counts;
}

/** Mean over blocks of 8 x 8 pixels: single pixels of pale skin are grey by noise. */
function colourOfBlocks({ widthPx, heightPx, rgb }: UprightPicture) {
  const across = Math.ceil(widthPx / 8);
  const sums = new Float32Array(across * Math.ceil(heightPx / 8));
  const block = (x: number, y: number): number => (y >> 3) * across + (x >> 3);
  for (let y = 0, i = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++, i += 3) {
      const [r, g, b] = [rgb[i]!, rgb[i + 1]!, rgb[i + 2]!];
      sums[block(x, y)]! += (Math.max(r, g, b) - Math.min(r, g, b)) / 64;
    }
  }
  return { at: (x: number, y: number): number => sums[block(x, y)]! };
}

/**
 * Hairs and broad light taken out, and the contrasts of places brought nearer to each other: a mole on plain skin counts
 * beside what lies in a wound, which will look otherwise next time. Grey levels round 128.
 */
function evened(
  cv: Cv,
  scope: Scope,
  grey: Uint8Array,
  counts: Uint8Array,
  { widthPx, heightPx }: Size,
  k: number,
): Uint8Array {
  const hairless = scope.own(new cv.Mat());
  cv.medianBlur(
    mat8(cv, scope, widthPx, heightPx, grey),
    hairless,
    2 * Math.round((HAIR_PX * k - 1) / 2) + 1,
  );
  const plane = (values: Float32Array): Plane => ({ widthPx, heightPx, values });
  const smooth = blurred(cv, scope, plane(Float32Array.from(hairless.data)), BLUR_PX * k).values;
  // At an eighth of the size: as smooth, and sixty-four times less work.
  const broadly = (values: Float32Array): Float32Array => {
    const small = resized(cv, scope, plane(values), Math.ceil(widthPx / 8), Math.ceil(heightPx / 8));
    return resizedUp(cv, scope, blurred(cv, scope, small, (BROAD_PX * k) / 8), { widthPx, heightPx });
  };
  // A white scale must not count as light or as contrast of the skin beside it.
  const weights = broadly(Float32Array.from(counts));
  const mean = (values: Float32Array): Float32Array =>
    broadly(values.map((v, i) => (counts[i] ? v : 0))).map((v, i) => v / Math.max(weights[i]!, 1e-3));
  const broad = mean(smooth);
  const fine = smooth.map((v, i) => v - broad[i]!);
  const power = mean(fine.map((v) => v * v));
  return Uint8Array.from(fine, (v, i) => {
    const contrast = Math.max(LEAST_CONTRAST, Math.sqrt(power[i]!));
    return Math.max(0, Math.min(255, Math.round(128 + (12 * v) / contrast ** EVENED)));
  });
}

function resizedUp(cv: Cv, scope: Scope, plane: Plane, { widthPx, heightPx }: Size): Float32Array {
  const from = scope.own(new cv.Mat(plane.heightPx, plane.widthPx, cv.CV_32FC1));
  from.data32F.set(plane.values);
  const to = scope.own(new cv.Mat());
  cv.resize(from, to, new cv.Size(widthPx, heightPx), 0, 0, cv.INTER_LINEAR);
  return to.data32F.slice();
}

/** The gradient that so small a share of the pixels exceeds, and never less than rounding makes. */
function beginAt(dx: Int16Array, dy: Int16Array, counts: Uint8Array): number {
  const sizes = new Float32Array(counts.length);
  let n = 0;
  for (let i = 0; i < counts.length; i++) if (counts[i]) sizes[n++] = Math.hypot(dx[i]!, dy[i]!);
  const sorted = sizes.subarray(0, n).sort();
  return Math.max(LEAST_GRADIENT, sorted[Math.floor((1 - BEGIN_SHARE) * (n - 1))] ?? 0);
}

/** Specks taken out: what hangs together over fewer pixels than `leastPx`. */
function longOnes(cv: Cv, scope: Scope, lines: Uint8Array, { widthPx, heightPx }: Size, leastPx: number) {
  const [labels, stats, centres] = [1, 2, 3].map(() => scope.own(new cv.Mat()));
  const from = mat8(cv, scope, widthPx, heightPx, lines);
  cv.connectedComponentsWithStats(from, labels!, stats!, centres!, 8, cv.CV_32S);
  const area = (label: number): number => stats!.intAt(label, cv.CC_STAT_AREA);
  return lines.map((v, i) => (v && area(labels!.data32S[i]!) >= leastPx ? 1 : 0));
}
