import type { Measured } from "@samescale/geometry";
import { SENSOR_FORMATS, type SensorSize } from "@samescale/optics";
import type { InfoAnswer } from "../answers.ts";
import type { Size } from "../decode/fitting-size.ts";

/** Size of one pixel of a picture on the sensor, or why it cannot be told. */
export type SensorPitch =
  | {
      readonly pixelMm: number;
      /** Relative, 95 %. */
      readonly u95: number;
      /** Which width was taken, in words. */
      readonly from: string;
      /** What must be said with the ratio. */
      readonly doubt: string | null;
    }
  | { readonly pixelMm: null; readonly from: string };

/** What is known of the sensor beside the file: a person says it of this picture, a department of its camera. */
export interface StatedSensor {
  readonly sensorWidthMm?: number;
  readonly usualSensorMm?: SensorSize;
}

/** Makers' sheets differ by some tenths of a millimetre, and pictures keep a few pixels less than the sensor has. */
const SAME_WIDTH = 0.03;
const SAME_SHAPE = 0.02;
/** Whole millimetres of an equivalent of 35 mm and more, and crop factors as they are advertised (1.5 for 1.53). */
const EQUIVALENT_U95 = 0.06;
const STATED_U95 = 0.005;
/** The department's camera is not the one that took the picture where its width differs by more. */
const SAME_CAMERA = 0.15;

/**
 * The width of the sensor, from the surest source: what a person says of this picture, the file's focal plane
 * resolution, the department's camera, the 35 mm equivalent focal length; over the pixels across it. Null wherever
 * something tells that the picture is not the camera's whole frame: then no width of a sensor belongs to it.
 */
export function sensorPitch(stated: StatedSensor, info: InfoAnswer, upright: Size): SensorPitch {
  const { changed } = info.frame;
  if (changed !== null) {
    return unknown(
      `${sentence(changed)}: it was cropped or resized, so the ratio on the sensor cannot be told.`,
    );
  }
  const longPx = Math.max(upright.widthPx, upright.heightPx);
  const shape = longPx / Math.min(upright.widthPx, upright.heightPx);
  if (stated.sensorWidthMm !== undefined) return said(stated.sensorWidthMm, longPx, shape);
  const file = info.sensorWidthMm;
  const storedWidthPx = info.orientation >= 5 ? upright.heightPx : upright.widthPx;
  if (file?.from.startsWith("focal plane")) return fromFocalPlane(info, file.value, storedWidthPx, shape);
  const fileLongMm = file && (file.value * longPx) / storedWidthPx;
  const { usualSensorMm: usual } = stated;
  if (usual && !(fileLongMm && Math.abs(fileLongMm / usual.widthMm - 1) > SAME_CAMERA)) {
    return fromDepartment(usual, info, longPx, shape);
  }
  if (!file) {
    return unknown(
      "The file does not say how wide the sensor is (--sensor-width-mm), so the ratio is not known.",
    );
  }
  const { writtenAgain } = info.frame;
  if (writtenAgain !== null) {
    return unknown(
      `The file was written again after the camera (${writtenAgain}), and the ${file.from} do not show whether it was cropped, so the ratio on the sensor cannot be told.`,
    );
  }
  if (!SENSOR_FORMATS.some((format) => hasShape(format, shape))) {
    return unknown(
      `The picture's sides are ${shape.toFixed(2)} to 1, as no sensor's are: it was cropped, so the ratio on the sensor cannot be told from the ${file.from}.`,
    );
  }
  return {
    pixelMm: file.value / storedWidthPx,
    u95: EQUIVALENT_U95,
    from: `sensor ${file.value} mm wide, roughly, from the ${file.from}`,
    doubt: onlyIfWhole(info),
  };
}

/** Reproduction ratio from pixels per millimetre square to the line of sight. */
export function ratioFrom(facingPxPerMm: Measured, pitch: SensorPitch): Measured | null {
  if (pitch.pixelMm === null) return null;
  const value = facingPxPerMm.value * pitch.pixelMm;
  return { value, u95: value * Math.hypot(facingPxPerMm.u95 / facingPxPerMm.value, pitch.u95) };
}

function said(widthMm: number, longPx: number, shape: number): SensorPitch {
  const known = formatsOf(widthMm);
  if (known.length > 0 && !known.some((format) => hasShape(format, shape))) {
    return unknown(
      `The picture's sides are ${shape.toFixed(2)} to 1, as no sensor ${widthMm} mm wide is: it was cropped, so the ratio on the sensor cannot be told.`,
    );
  }
  return {
    pixelMm: widthMm / longPx,
    u95: STATED_U95,
    from: `sensor ${widthMm} mm wide, as stated; the picture is taken as its whole frame`,
    doubt: null,
  };
}

function fromFocalPlane(info: InfoAnswer, widthMm: number, widthPx: number, shape: number): SensorPitch {
  const turned = info.sensorWidthMm && widthPx < Math.max(info.widthPx, info.heightPx);
  const longMm = turned ? widthMm * shape : widthMm;
  const whole = formatsOf(longMm).some((format) => hasShape(format, shape));
  const { writtenAgain } = info.frame;
  if (writtenAgain !== null && !whole) {
    return unknown(
      `The file was written again after the camera (${writtenAgain}), and ${longMm.toFixed(1)} mm with sides of ${shape.toFixed(2)} to 1 is no sensor's usual size: it may be cropped or resized, so the ratio on the sensor cannot be told.`,
    );
  }
  return {
    pixelMm: widthMm / widthPx,
    u95: STATED_U95,
    from: `sensor ${widthMm} mm wide, from the focal plane resolution`,
    doubt: whole ? null : onlyIfWhole(info),
  };
}

function fromDepartment(usual: SensorSize, info: InfoAnswer, longPx: number, shape: number): SensorPitch {
  if (info.make === null && info.focalMm === null) {
    return unknown(
      "The file keeps nothing that a camera wrote: whether it is a whole frame of the department's camera cannot be told, so the ratio is not known.",
    );
  }
  if (!hasShape(usual, shape)) {
    return unknown(
      `The picture's sides are ${shape.toFixed(2)} to 1, those of the department's sensor are not: it was cropped or made by another camera, so the ratio is not known.`,
    );
  }
  return {
    pixelMm: usual.widthMm / longPx,
    u95: STATED_U95,
    from: `sensor ${usual.widthMm} mm wide, the department's`,
    doubt: onlyIfWhole(info),
  };
}

function onlyIfWhole({ frame: { writtenAgain, notesMissing } }: InfoAnswer): string | null {
  if (writtenAgain === null && !notesMissing) return null;
  const sign = writtenAgain ?? "the maker's own notes are missing";
  return `The file may have been written again after the camera (${sign}): the ratio holds only if the picture was not cropped or resized.`;
}

const unknown = (from: string): SensorPitch => ({ pixelMm: null, from });
const sentence = (text: string) => text[0]!.toUpperCase() + text.slice(1);

const formatsOf = (widthMm: number) =>
  SENSOR_FORMATS.filter((format) => Math.abs(format.widthMm / widthMm - 1) <= SAME_WIDTH);

const hasShape = ({ widthMm, heightMm }: SensorSize, shape: number) =>
  Math.abs(shape / (widthMm / heightMm) - 1) <= SAME_SHAPE;
