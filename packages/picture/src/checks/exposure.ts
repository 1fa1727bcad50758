import type { ExposureStops, Judged, SkinExposure } from "../look-answer.ts";
import { eroded, medianOf, partsOf, quantileOf } from "./cells.ts";
import { besideScale, type ScaleLine } from "./near-scale.ts";
import type { FrameParts } from "./parts-of-frame.ts";
import type { Reduced } from "./reduced.ts";

/** Kept clear of the subject's edge, where cells mix two things. */
const CLEAR_OF_EDGE = 2;
/** Linear light of the brightest channel beside a spot: below, the spot stands out steeply, as a lamp's reflection does. */
const STEEP = 0.6;
/** A reflection takes no more of the subject than this. */
const LARGEST_GLARE = 0.03;
/** A cell counts to a burnt-out place from this share of its pixels. */
const MOSTLY = 0.25;

/** Light on the skin: how bright, how much of it lost, and how far off where a white is known. */
export function skinExposure(
  picture: Reduced,
  parts: FrameParts | null,
  lines: readonly ScaleLine[],
  nearScales: Uint8Array,
): Judged<SkinExposure> {
  if (!parts) return { judged: false, why: "No skin is seen: the exposure on it cannot be told." };
  const inner = eroded(parts.subject, picture, CLEAR_OF_EDGE);
  // A burnt-out spot has no colour left: what lies on the subject counts with it, but for scales.
  const own: number[] = [];
  inner.forEach((v, i) => {
    if (v && (parts.skin[i] || !nearScales[i])) own.push(i);
  });
  const cells = own.filter((i) => parts.skin[i]);
  if (cells.length < 50) return { judged: false, why: "Too little skin is seen to tell the exposure on it." };
  const lightness = cells.map((i) => picture.lab[3 * i]!);
  const luminance = medianOf(cells.map((i) => picture.luminance[i]!));
  const shareOf = (values: Float32Array) => own.reduce((total, i) => total + values[i]!, 0) / own.length;
  return {
    judged: true,
    lightness: medianOf(lightness),
    lightnessRange: { low: quantileOf(lightness, 0.05), high: quantileOf(lightness, 0.95) },
    luminance,
    burntOut: { share: shareOf(picture.burnt), ...burntPlaces(picture, own) },
    blocked: shareOf(picture.blocked),
    stops: stopsByScale(picture, parts, lines, luminance),
  };
}

/** Reflections of a lamp stand out steeply and are small; skin that is exposed too long burns out from its brightest place outwards. */
function burntPlaces(picture: Reduced, cells: readonly number[]) {
  const { burnt, linear, columns } = picture;
  const places = new Uint8Array(burnt.length);
  const isOwn = new Uint8Array(burnt.length);
  let specks = 0;
  for (const i of cells) {
    isOwn[i] = 1;
    if (burnt[i]! >= MOSTLY) places[i] = 1;
    else specks += burnt[i]!;
  }
  let [glare, largest] = [specks, 0];
  for (const part of partsOf(places, picture)) {
    const own = part.cells.reduce((sum, i) => sum + burnt[i]!, 0);
    const beside: number[] = [];
    for (const i of part.cells) {
      for (const j of [i - 2, i + 2, i - 2 * columns, i + 2 * columns]) {
        if (isOwn[j] && !places[j])
          beside.push(Math.max(linear[3 * j]!, linear[3 * j + 1]!, linear[3 * j + 2]!));
      }
    }
    const isGlare = own < LARGEST_GLARE * cells.length && beside.length > 0 && medianOf(beside) < STEEP;
    if (isGlare) glare += own;
    else largest = Math.max(largest, own);
  }
  return { glareShare: glare / cells.length, largestShare: largest / cells.length };
}

/** Where the body of a scale is looked at, beside its graduations. */
const FROM_MM = 1.5;
const TO_MM = 12;
/** The white of papers and plastics: luminance where all is exposed as it should, and 95 % in stops. Common practice, no source. */
const WHITE = 0.8;
const WHITE_U95 = 0.6;
/** A white body is brighter than any skin beside it. */
const OVER_SKIN = 1.2;
const MOSTLY_BURNT = 0.5;

/** Dark skin is not dark for want of light: only something of known colour can tell. */
function stopsByScale(
  picture: Reduced,
  parts: FrameParts,
  lines: readonly ScaleLine[],
  skin: number,
): Judged<ExposureStops> {
  if (lines.length === 0) {
    return {
      judged: false,
      why: "Nothing white of known colour is in the frame: dark skin and too little light look alike. Compare with the baseline.",
    };
  }
  const whites = lines.flatMap((line) => [
    whiteBeside(picture, parts, line, 1),
    whiteBeside(picture, parts, line, -1),
  ]);
  const best = whites
    .filter((white) => white !== null)
    .filter((white) => white.burnt > MOSTLY_BURNT || white.luminance > OVER_SKIN * skin)
    .sort((a, b) => b.luminance - a.luminance)[0];
  if (!best) return { judged: false, why: "The scale shows no white that the exposure could be told by." };
  return {
    judged: true,
    value: Math.log2(best.luminance / WHITE),
    u95: WHITE_U95,
    isAtLeast: best.burnt > MOSTLY_BURNT,
    from: "scale",
  };
}

interface White {
  readonly luminance: number;
  readonly burnt: number;
}

function whiteBeside(
  picture: Reduced,
  { skin, subject }: FrameParts,
  line: ScaleLine,
  side: 1 | -1,
): White | null {
  const { columns, cellPx, luminance, burnt } = picture;
  const lengthMm = line.lengthPx / line.pxPerMm;
  const cells: number[] = [];
  let skinCells = 0;
  for (let i = 0; i < luminance.length; i++) {
    const { alongMm, sideMm } = besideScale(
      line,
      ((i % columns) + 0.5) * cellPx,
      (Math.floor(i / columns) + 0.5) * cellPx,
    );
    if (alongMm < 0 || alongMm > lengthMm || side * sideMm < FROM_MM || side * sideMm > TO_MM) continue;
    cells.push(i);
    if (skin[i] && subject[i]) skinCells++;
  }
  if (cells.length < 8 || skinCells > 0.4 * cells.length) return null;
  const own = cells.filter((i) => !skin[i]);
  return {
    luminance: quantileOf(
      own.map((i) => luminance[i]!),
      0.8,
    ),
    burnt: quantileOf(
      own.map((i) => burnt[i]!),
      0.8,
    ),
  };
}
