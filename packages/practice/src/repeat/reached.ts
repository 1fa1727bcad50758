import { objectDistanceMm } from "@samescale/optics";
import { type FrameDone, firstTold, type Told, told } from "./frame-done.ts";

/** What a frame reached, each number with its witness. */
export interface Reached {
  /** Long side of the field. */
  readonly fieldLongMm: Told<number>;
  /** On the sensor that made it. */
  readonly magnification: Told<number>;
  /** Relative, 95 %; null where nothing was read. */
  readonly relative95: number | null;
  readonly sensorLongMm: Told<number>;
  readonly focalMm: Told<number>;
  /** Computed from focal length and ratio. */
  readonly objectDistanceMm: number;
  readonly fNumber: Told<number>;
  readonly orientation: Told<"landscape" | "portrait">;
  /** The frame that the field was read from: another one of the pair with and without a scale. */
  readonly pair: FrameDone | null;
}

/** Crop of another shape, rounding of data sheets: two widths this near are the same sensor. */
const SAME_SENSOR = 0.02;

export const isSameSensor = (aMm: number, bMm: number): boolean => Math.abs(aMm / bMm - 1) <= SAME_SENSOR;

/**
 * What the frame reached. The field comes from the picture's own scale, for which no sensor is needed; where none was
 * read, from the frame of the same pair; else the plan's stands.
 * @param pair the same view made with a scale, where this one has none
 */
export function reachedIn(done: FrameDone, pair: FrameDone | null = null): Reached {
  const { planned, plannedBody, picture, file } = done;
  const own = fieldRead(done);
  const paired = own === null && pair !== null ? fieldRead(pair) : null;
  const read = own ?? paired;
  const plannedLongMm = Math.max(planned.fieldMm.width, planned.fieldMm.height);
  const fieldLongMm = read === null ? told(plannedLongMm, "plan") : told(read.longMm, "picture");
  const sensorLongMm = firstTold([file.sensorLongMm, "file"]) ?? told(plannedBody.longMm, "plan");
  const ratio = (own === null ? pair : done)?.picture.ratio?.value ?? null;
  const magnification =
    ratio !== null && read !== null
      ? told(ratio, "picture")
      : told(sensorLongMm.value / fieldLongMm.value, read === null ? "plan" : sensorLongMm.by);
  const focalMm = firstTold([file.focalMm, "file"]) ?? told(planned.focalMm, "plan");
  const { widthPx, heightPx } = picture;
  return {
    fieldLongMm,
    magnification,
    relative95: read?.relative95 ?? null,
    sensorLongMm,
    focalMm,
    objectDistanceMm: objectDistanceMm(focalMm.value, magnification.value),
    fNumber: firstTold([file.fNumber, "file"]) ?? told(planned.fNumber, "plan"),
    orientation:
      widthPx === heightPx
        ? told(planned.view.orientation, "plan")
        : told(heightPx > widthPx ? "portrait" : "landscape", "picture"),
    pair: paired === null ? null : pair,
  };
}

function fieldRead({ picture: { widthPx, heightPx, pxPerMm, ratio } }: FrameDone) {
  if (pxPerMm === null) return null;
  const relative95 = ratio === null ? pxPerMm.u95 / pxPerMm.value : ratio.u95 / ratio.value;
  return { longMm: Math.max(widthPx, heightPx) / pxPerMm.value, relative95 };
}
