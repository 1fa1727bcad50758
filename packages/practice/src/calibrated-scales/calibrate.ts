import {
  type CalibratedScale,
  type CalibratedScales,
  isPrinted,
  lengthsMissing,
  type Measurement,
  parseCalibratedScales,
  worstOffPercent,
} from "./record.ts";

/** Changed, or why it was not. */
export type Recorded =
  | { readonly record: CalibratedScales }
  | { readonly refused: string; readonly help: string };

export const NO_CALIBRATED_SCALES: CalibratedScales = { form: 1, scales: [] };

/** A scale that is not in the record yet, or what is known of it again. */
export type ScaleNamed = Pick<CalibratedScale, "id" | "kind" | "nominalMm" | "printedOn">;

/**
 * The record with one more measurement of a scale. Refused where the scale is too far off to be used, withdrawn, or
 * the day cannot be.
 * @param today the day on which it is recorded, 2026-11-25
 */
export function withMeasurement(
  record: CalibratedScales,
  scale: ScaleNamed,
  measurement: Measurement,
  today: string,
): Recorded {
  const { id, kind } = scale;
  const known = record.scales.find((one) => one.id === id);
  if (measurement.measuredOn > today) {
    return refuse(`${measurement.measuredOn} has not come yet`, "Give the day on which you measured.");
  }
  if ((scale.printedOn ?? "") > measurement.measuredOn) {
    return refuse(`${id} was measured before it was printed`, "Check both days.");
  }
  if (measurement.dueOn <= measurement.measuredOn) {
    return refuse("The next measurement is due before this one", "Give a later day as due.");
  }
  const missing = lengthsMissing(kind, measurement);
  if (missing) return refuse(`${id}: ${missing}`, "Measure it and give it as well.");
  const off = worstOffPercent(measurement);
  if (off > measurement.tolerancePercent) {
    return refuse(
      `${id} is off by ${off.toFixed(2)} %, more than the ${measurement.tolerancePercent} % allowed`,
      isPrinted(kind)
        ? "Check the reading; if it is right, something scaled the page: print again at actual size (100 %)."
        : "Check the reading; if it is right, do not use this scale.",
    );
  }
  if (known?.state === "withdrawn") {
    return refuse(`${id} was withdrawn on ${known.withdrawn?.on}`, "Use another scale.");
  }
  if (known && (known.kind !== kind || known.nominalMm !== scale.nominalMm)) {
    return refuse(
      `${id} is in the record as ${known.kind}, ${known.nominalMm} mm`,
      "Give a scale of another kind or length an id of its own.",
    );
  }
  const last = known?.measurements.at(-1);
  if (last && last.measuredOn > measurement.measuredOn) {
    return refuse(
      `${id} was measured again on ${last.measuredOn}`,
      "Measurements are recorded in the order in which they are made.",
    );
  }
  const entry: CalibratedScale = known
    ? { ...known, measurements: [...known.measurements, measurement] }
    : { ...scale, state: "in use", withdrawn: null, measurements: [measurement] };
  return { record: changed(record, entry) };
}

/** The record with a scale withdrawn: photographs after that day are read with a warning. */
export function withWithdrawal(
  record: CalibratedScales,
  id: string,
  withdrawn: { readonly on: string; readonly why: string },
  today: string,
): Recorded {
  const known = record.scales.find((one) => one.id === id);
  if (!known) return refuse(`${id} is not in the record`, "Check the id.");
  if (known.state === "withdrawn") {
    return refuse(`${id} was withdrawn on ${known.withdrawn?.on}`, "Nothing is left to do.");
  }
  if (withdrawn.on > today) {
    return refuse(`${withdrawn.on} has not come yet`, "Give the day on which it was withdrawn.");
  }
  return { record: changed(record, { ...known, state: "withdrawn", withdrawn }) };
}

/** In the order of their ids, so that two versions of the file can be compared line by line. */
function changed(record: CalibratedScales, entry: CalibratedScale): CalibratedScales {
  const others = record.scales.filter(({ id }) => id !== entry.id);
  const scales = [...others, entry].sort((a, b) => (a.id < b.id ? -1 : 1));
  return parseCalibratedScales({ ...record, scales }, "to be written");
}

const refuse = (refused: string, help: string) => ({ refused, help });
