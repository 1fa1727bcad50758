import type { InfoAnswer } from "../answers.ts";

/** What may stay of what the file says: how the picture was made. Never who, where, or with which very piece of kit. */
export type CameraFacts = Pick<
  InfoAnswer,
  "make" | "model" | "lens" | "focalMm" | "fNumber" | "exposureS" | "iso" | "sensorWidthMm"
>;

type Exif = Record<"IFD0" | "IFD2", Record<string, string>>;

/**
 * The allow-list as Exif fields, written anew from values that were read and checked; nothing is copied.
 * @param takenAt local time YYYY-MM-DDTHH:MM:SS
 * @param pxPerMm pixels of the outgoing picture per millimetre of the sensor; null: not known
 */
export function cameraExif(camera: CameraFacts, takenAt: string | null, pxPerMm: number | null): Exif {
  const { make, model, lens, focalMm, fNumber, exposureS, iso } = camera;
  const main = { Make: make, Model: model };
  const exposure = {
    DateTimeOriginal: takenAt?.replaceAll("-", ":").replace("T", " ") ?? null,
    ExposureTime: exposureS && rational(exposureS),
    FNumber: fNumber && rational(fNumber),
    ISOSpeedRatings: iso && String(Math.round(iso)),
    FocalLength: focalMm && rational(focalMm),
    LensModel: lens,
    FocalPlaneXResolution: pxPerMm && rational(10 * pxPerMm),
    FocalPlaneYResolution: pxPerMm && rational(10 * pxPerMm),
    FocalPlaneResolutionUnit: pxPerMm && "3", // centimetre
  };
  return { IFD0: known(main), IFD2: known(exposure) };
}

function known(fields: Record<string, string | number | null>): Record<string, string> {
  const entries = Object.entries(fields).filter(([, value]) => value !== null && value !== 0 && value !== "");
  return Object.fromEntries(entries.map(([name, value]) => [name, String(value)]));
}

/** Exposure times as cameras write them, 1/250; everything else in thousandths. */
function rational(value: number): string {
  if (value < 1 && Math.abs(1 / value - Math.round(1 / value)) < 1e-6) return `1/${Math.round(1 / value)}`;
  return value < 1 ? `${Math.round(value * 1e6)}/1000000` : `${Math.round(value * 1000)}/1000`;
}
