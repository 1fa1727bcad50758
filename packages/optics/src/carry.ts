import { requirePositive } from "./check.ts";
import { type Field, fieldOf } from "./field.ts";
import { formatRatio } from "./ratio.ts";
import { FRAME_36X24, formatSensorSize, type SensorSize } from "./sensor.ts";

/**
 * The two ways to carry a ratio from the 36 x 24 mm frame to another sensor. They give different pictures,
 * so a plan has to name its way, and no function here has one by default.
 *
 * - same field: the picture shows as much as on 36 x 24 mm, along the named side; the true ratio changes.
 * - same ratio: the true ratio stays; a smaller sensor shows less.
 */
export type CarryWay =
  | { readonly keep: "field"; readonly side: "long" | "short" }
  | { readonly keep: "ratio" };

/** A carried ratio that says which way it was carried. */
export interface CarriedRatio {
  readonly way: CarryWay;
  /** What the ratio was called on 36 x 24 mm. */
  readonly nominalMagnification: number;
  /** What to set on this sensor. */
  readonly magnification: number;
  readonly field: Field;
  /** How much longer or shorter each side of the field is than on 36 x 24 mm: 1 is the same. */
  readonly fieldChange: { readonly long: number; readonly short: number };
  /** The way and its consequence in one sentence. */
  readonly says: string;
}

/**
 * Carries a nominal 36 x 24 mm ratio to another sensor, m' = m · side/side36 for the same field and m' = m
 * for the same ratio. Between 3:2 and 4:3 the field can be kept along one side only; `fieldChange` has the
 * other. Long is matched with long, so the camera may be held either way. Faults: magnification or a side
 * not above 0.
 * @source BehrAitsonHoffman (the Cardiff scales adapt to smaller sensors); arithmetic
 * @example carryRatio(0.1, { widthMm: 18, heightMm: 12 }, { keep: "field", side: "long" }).magnification // 0.05
 */
export function carryRatio(nominalMagnification: number, to: SensorSize, way: CarryWay): CarriedRatio {
  requirePositive("nominalMagnification", nominalMagnification);
  const from = sides(FRAME_36X24);
  const sensor = sides(to);
  const magnification =
    way.keep === "ratio" ? nominalMagnification : (nominalMagnification * sensor[way.side]) / from[way.side];
  const part = nominalMagnification / magnification;
  const fieldChange = {
    long: (sensor.long / from.long) * part,
    short: (sensor.short / from.short) * part,
  };
  return {
    way,
    nominalMagnification,
    magnification,
    field: fieldOf(to, magnification),
    fieldChange,
    says: sentence(nominalMagnification, magnification, to, way, fieldChange),
  };
}

function sides(sensor: SensorSize): { readonly long: number; readonly short: number } {
  const width = requirePositive("sensor.widthMm", sensor.widthMm);
  const height = requirePositive("sensor.heightMm", sensor.heightMm);
  return { long: Math.max(width, height), short: Math.min(width, height) };
}

function sentence(
  nominal: number,
  magnification: number,
  to: SensorSize,
  way: CarryWay,
  change: CarriedRatio["fieldChange"],
): string {
  const subject = `${formatRatio(nominal)} on 36 × 24 mm`;
  if (way.keep === "ratio") {
    return (
      `Same true ratio as ${subject}: ${formatRatio(magnification)} on ${formatSensorSize(to)} too, ` +
      `where the field is ${percent(change.long)} of what it was along the long side and ` +
      `${percent(change.short)} along the short side.`
    );
  }
  const other = way.side === "long" ? "short" : "long";
  return (
    `Same field as ${subject} along the ${way.side} side: true ratio ${formatRatio(magnification)} on ` +
    `${formatSensorSize(to)}; along the ${other} side the field is ${percent(change[other])} of what it was.`
  );
}

const percent = (part: number): string => `${(part * 100).toFixed(1)} %`;
