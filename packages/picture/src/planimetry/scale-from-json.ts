import { SamescaleError } from "@samescale/errors";
import type { Matrix3, ScaleAnswer } from "../answers.ts";

const MOST_SCALES = 100;

/**
 * A line of `samescale scale --json` that nobody vouches for, checked as far as measuring needs it.
 * @param where what to name in errors
 * @throws SCALE_READING_NOT_UNDERSTOOD
 */
export function scaleFromJson(value: unknown, where: string): ScaleAnswer {
  const fault = (what: string) =>
    new SamescaleError(
      "SCALE_READING_NOT_UNDERSTOOD",
      `${where}: ${what}`,
      "Give a line printed by samescale scale --json, or --scale auto.",
    );
  if (!isRecord(value)) throw fault("not a reading of a scale");
  if (isRecord(value.error)) throw fault(`the reading failed (${String(value.error.message).slice(0, 200)})`);
  if (typeof value.found !== "boolean") throw fault('it does not say "found": true or false');
  if (typeof value.file !== "string") throw fault("it names no file");
  const { sha256 } = value;
  if (sha256 !== undefined && !(typeof sha256 === "string" && /^[0-9a-f]{64}$/.test(sha256)))
    throw fault("its sha256 is not 64 hexadecimal digits");
  if (!isPositive(value.widthPx) || !isPositive(value.heightPx))
    throw fault("it gives no size of the picture");
  if (!value.found) {
    if (typeof value.reason !== "string") throw fault("nothing found, and no reason");
    return value as unknown as ScaleAnswer;
  }
  const { scales, plane, imageDistancePx } = value;
  if (imageDistancePx !== undefined && !isPositive(imageDistancePx))
    throw fault("its imageDistancePx is not a number above 0");
  if (!Array.isArray(scales) || scales.length === 0 || scales.length > MOST_SCALES)
    throw fault("it lists no scales");
  for (const [i, scale] of scales.entries()) {
    const isScale =
      isRecord(scale) &&
      isMeasured(scale.pxPerMm) &&
      isRecord(scale.at) &&
      isNumber(scale.at.x) &&
      isNumber(scale.at.y) &&
      isNumber(scale.axisDeg);
    if (!isScale) throw fault(`scale ${i + 1} lacks pxPerMm, at or axisDeg`);
  }
  if (
    plane !== null &&
    plane !== undefined &&
    !(isRecord(plane) && isHomography(plane.homographyPxToMm) && isTilt(plane.tiltDeg))
  ) {
    throw fault("its plane is not a 3 x 3 homography with a tilt");
  }
  return {
    ...value,
    plane: plane ?? null,
    warnings: Array.isArray(value.warnings) ? value.warnings.filter((w) => typeof w === "string") : [],
  } as unknown as ScaleAnswer;
}

const isRecord = (v: unknown): v is Readonly<Record<string, unknown>> =>
  typeof v === "object" && v !== null && !Array.isArray(v);
const isNumber = (v: unknown): v is number => typeof v === "number" && Number.isFinite(v);
const isPositive = (v: unknown): v is number => isNumber(v) && v > 0;
const isMeasured = (v: unknown) => isRecord(v) && isPositive(v.value) && isNumber(v.u95) && v.u95 >= 0;
const isTilt = (v: unknown) =>
  isRecord(v) && isNumber(v.value) && v.value >= 0 && isNumber(v.u95) && v.u95 >= 0;

function isHomography(v: unknown): v is Matrix3 {
  const isRow = (row: unknown) => Array.isArray(row) && row.length === 3 && row.every(isNumber);
  if (!Array.isArray(v) || v.length !== 3 || !v.every(isRow)) return false;
  const [[a, b, c], [d, e, f], [g, h, i]] = v as unknown as Matrix3;
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g) !== 0;
}
