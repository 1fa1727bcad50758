import assert from "node:assert/strict";
import { test } from "node:test";
import { SamescaleError } from "@samescale/errors";
import { type MarkerKind, markerDesign, newScaleId } from "@samescale/marker";
import {
  type CalibratedScales,
  type Measurement,
  NO_CALIBRATED_SCALES,
  parseCalibratedScales,
  type Recorded,
  type ScaleNamed,
  scaleKnown,
  withMeasurement,
  withWithdrawal,
} from "../src/index.ts";

const TODAY = "2026-05-04";

function printed(kind: MarkerKind): ScaleNamed {
  const id = newScaleId(kind, () => 0.37);
  return { id, kind, nominalMm: markerDesign(kind, id).nominalMm, printedOn: "2026-05-01" };
}

const rule: ScaleNamed = { id: "rule-1", kind: "steel rule", nominalMm: 150, printedOn: null };
const across = (measuredMm: number) => ({ what: "check line across", nominalMm: 100, measuredMm }) as const;
const along = (measuredMm: number) => ({ what: "check line along", nominalMm: 100, measuredMm }) as const;

function measured(overrides: Partial<Measurement> = {}): Measurement {
  return {
    measuredOn: "2026-05-02",
    by: "A. Name",
    instrument: "steel rule, 0.5 mm",
    resolutionMm: 0.25,
    instrumentU95Mm: null,
    tolerancePercent: 2,
    dueOn: "2027-05-02",
    lengths: [across(99.8)],
    ...overrides,
  };
}

function recorded(outcome: Recorded): CalibratedScales {
  assert.ok("record" in outcome, JSON.stringify(outcome));
  return outcome.record;
}

const withOne = recorded(withMeasurement(NO_CALIBRATED_SCALES, printed("straight-50"), measured(), TODAY));

test("what was recorded is read again as it was, and a second measurement follows the first", () => {
  const again = parseCalibratedScales(JSON.parse(JSON.stringify(withOne)), "a file");
  assert.deepEqual(again, withOne);
  const second = measured({ measuredOn: "2026-05-03", lengths: [across(100.2)] });
  const both = recorded(withMeasurement(again, printed("straight-50"), second, TODAY));
  assert.deepEqual(
    both.scales[0]?.measurements.map(({ measuredOn }) => measuredOn),
    ["2026-05-02", "2026-05-03"],
  );
});

test("the order in the file does not depend on the order of recording", () => {
  const scales = [printed("l"), rule, printed("label")];
  const lengths = [across(100), along(100), { what: "scale", nominalMm: 150, measuredMm: 150 } as const];
  const inOrder = (list: readonly ScaleNamed[]) =>
    list.reduce(
      (record, scale) => recorded(withMeasurement(record, scale, measured({ lengths }), TODAY)),
      NO_CALIBRATED_SCALES,
    );
  assert.deepEqual(inOrder(scales), inOrder(scales.toReversed()));
});

for (const [why, scale, changes, says] of [
  ["a page that was fitted", printed("straight-50"), { lengths: [across(97)] }, /3\.00 %/],
  ["2.1 % too long", printed("straight-50"), { lengths: [across(102.1)] }, /2\.10 %/],
  ["more than the department allows", printed("label"), { tolerancePercent: 0.1 }, /0\.20 %/],
  ["a day to come", printed("straight-50"), { measuredOn: "2026-05-05" }, /has not come/],
  ["before it was printed", printed("straight-50"), { measuredOn: "2026-04-30" }, /before it was printed/],
  ["due before it was measured", printed("straight-50"), { dueOn: "2026-05-01" }, /due/],
  ["one direction of an L", printed("l"), {}, /both check lines/],
  ["the wrong direction", printed("straight-150"), { lengths: [along(100)] }, /across/],
  ["a line twice", printed("straight-50"), { lengths: [across(100), across(99)] }, /twice/],
  ["no length of a rule", rule, {}, /length of the scale/],
] as const) {
  test(`refused with the reason: ${why}`, () => {
    const outcome = withMeasurement(NO_CALIBRATED_SCALES, scale, measured(changes as object), TODAY);
    assert.ok("refused" in outcome, "was recorded");
    assert.match(outcome.refused, says);
    assert.ok(outcome.help.length > 10);
  });
}

test("refused: another kind under a known id, an older measurement, a withdrawn scale", () => {
  const lengths = [{ what: "scale", nominalMm: 150, measuredMm: 150.1 } as const];
  const record = recorded(withMeasurement(NO_CALIBRATED_SCALES, rule, measured({ lengths }), TODAY));
  const other = withMeasurement(record, { ...rule, kind: "tape" }, measured({ lengths }), TODAY);
  assert.ok("refused" in other && /steel rule/.test(other.refused));
  const older = withMeasurement(record, rule, measured({ measuredOn: "2026-05-01", lengths }), TODAY);
  assert.ok("refused" in older && /measured again on 2026-05-02/.test(older.refused));
  const gone = recorded(withWithdrawal(record, rule.id, { on: TODAY, why: "bent" }, TODAY));
  assert.equal(gone.scales[0]?.state, "withdrawn");
  const after = withMeasurement(gone, rule, measured({ measuredOn: TODAY, lengths }), TODAY);
  assert.ok("refused" in after && /withdrawn/.test(after.refused));
  assert.ok("refused" in withWithdrawal(gone, rule.id, { on: TODAY, why: "again" }, TODAY));
  assert.ok("refused" in withWithdrawal(record, "nobody", { on: TODAY, why: "x" }, TODAY));
  assert.ok("refused" in withWithdrawal(record, rule.id, { on: "2026-06-01", why: "x" }, TODAY));
});

/** A record that holds, with one field of it changed. */
function broken(path: string, value: unknown): unknown {
  const record = structuredClone(withOne) as unknown as Record<string, unknown>;
  const names = path.split(".");
  const last = names.pop() as string;
  const parent = names.reduce((at, name) => at[name] as Record<string, unknown>, record);
  parent[last] = value;
  return record;
}

const LENGTH = "scales.0.measurements.0.lengths.0.measuredMm";

for (const [what, value, says] of [
  ["nothing", null, /the whole/],
  ["a list", [], /the whole/],
  ["another form", { form: 2, scales: [] }, /form/],
  ["a field more", broken("scales.0.colour", "red"), /scales\.0/],
  ["text for a number", broken("scales.0.nominalMm", "50"), /nominalMm/],
  ["not a number", broken("scales.0.measurements.0.resolutionMm", Number.NaN), /resolutionMm/],
  ["a length below zero", broken(LENGTH, -99.8), /measuredMm/],
  ["a length without end", broken(LENGTH, Number.POSITIVE_INFINITY), /measuredMm/],
  ["3 % off by hand", broken(LENGTH, 97), /3\.00 %/],
  ["30 February", broken("scales.0.measurements.0.measuredOn", "2026-02-30"), /measuredOn/],
  ["no measurement", broken("scales.0.measurements", []), /measurements/],
  ["a wrong character in an id", broken("scales.0.id", "A2222222"), /id/],
  ["a printed scale as a rule", broken("scales.0.kind", "steel rule"), /id/],
  ["a scale twice", broken("scales.1", withOne.scales[0]), /twice/],
  ["control characters", broken("scales.0.measurements.0.by", "\u001b[2J"), /control characters/],
  ["withdrawn without a day", broken("scales.0.state", "withdrawn"), /withdrawn/],
] as const) {
  test(`a record with ${what} is refused and the field named`, () => {
    assert.throws(
      () => parseCalibratedScales(value, "scales.json"),
      (thrown) =>
        thrown instanceof SamescaleError &&
        thrown.code === "CALIBRATIONS_INVALID" &&
        thrown.message.includes("scales.json") &&
        says.test(thrown.message),
    );
  });
}

test("true length: each direction from its own line, the scale itself before a line beside it", () => {
  const lengths = [across(99), along(101)];
  const l = recorded(withMeasurement(NO_CALIBRATED_SCALES, printed("l"), measured({ lengths }), TODAY));
  const known = scaleKnown(l.scales[0]!);
  assert.equal(known.trueLengths[0]?.x.value, 0.99);
  assert.equal(known.trueLengths[0]?.y.value, 1.01);
  const direct = [across(99), { what: "scale", nominalMm: 50, measuredMm: 49.6 } as const];
  const straight = withMeasurement(
    NO_CALIBRATED_SCALES,
    printed("straight-50"),
    measured({ lengths: direct }),
    TODAY,
  );
  assert.equal(scaleKnown(recorded(straight).scales[0]!).trueLengths[0]?.x.value, 0.992);
});

test("its uncertainty is that of reading two ends, of the instrument, and of the sheet", () => {
  const u95 = (changes: Partial<Measurement>, scale = printed("straight-50")) => {
    const record = recorded(withMeasurement(NO_CALIBRATED_SCALES, scale, measured(changes), TODAY));
    return scaleKnown(record.scales[0]!).trueLengths[0]!.x.u95;
  };
  // Sum of two independent readings, each even over 0.25 mm, by hand: sqrt(2) * 0.25 / sqrt(12) = 0.1021 mm; the
  // sheet's evenness is 0.05 % of 100 mm; twice their root sum of squares.
  assert.ok(Math.abs(u95({}) - 2 * Math.hypot(0.001021, 0.0005)) < 1e-5);
  assert.ok(u95({ instrumentU95Mm: 0.5 }) > 0.005);
  const bought = {
    lengths: [{ what: "scale", nominalMm: 150, measuredMm: 150 } as const],
    resolutionMm: 0.05,
  };
  assert.ok(Math.abs(u95(bought, rule) - (2 * 0.05) / Math.sqrt(6) / 150) < 1e-9);
});
