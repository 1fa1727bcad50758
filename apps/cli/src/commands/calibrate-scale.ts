import { changeCalibratedScales } from "@samescale/desk";
import { markerDesign, parseScaleId } from "@samescale/marker";
import {
  BOUGHT_KINDS,
  type CalibratedScales,
  type Measurement,
  MOST_TOLERANCE_PERCENT,
  type Recorded,
  type ScaleNamed,
  withMeasurement,
  withWithdrawal,
} from "@samescale/practice";
import type { Command } from "commander";
import { write } from "../frame/answer-each.ts";
import { CommandFailure } from "../frame/failure.ts";
import { day, oneOf, positive } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface Options {
  readonly file: string;
  readonly acrossMm?: number;
  readonly alongMm?: number;
  readonly measuredMm?: number;
  readonly nominalMm?: number;
  readonly kind?: (typeof BOUGHT_KINDS)[number];
  readonly by?: string;
  readonly instrument?: string;
  readonly resolutionMm?: number;
  readonly instrumentU95Mm?: number;
  readonly on?: string;
  readonly printedOn?: string;
  readonly dueOn?: string;
  readonly tolerancePercent: number;
  readonly withdraw?: string;
}

const CHECK_LINE_MM = 100;

/** `samescale calibrate-scale ID…`: records what scales measured, or that they are withdrawn. */
export function configure(command: Command): void {
  command
    .argument("<id...>", "as printed on the scale; for a bought one a name of your own, such as rule-1")
    .option("--file <file>", "the department's calibration record", "calibrated-scales.json")
    .option("--across-mm <mm>", "measured length of the check line across the page", positive("--across-mm"))
    .option("--along-mm <mm>", "measured length of the check line along the page", positive("--along-mm"))
    .option("--measured-mm <mm>", "measured length of the scale itself", positive("--measured-mm"))
    .option("--nominal-mm <mm>", "what that length should be", positive("--nominal-mm"))
    .option("--kind <kind>", `of a bought scale: ${BOUGHT_KINDS.join(", ")}`, oneOf("--kind", BOUGHT_KINDS))
    .option("--by <name>", "who measured")
    .option("--instrument <text>", 'what it was measured with, such as "steel rule, 0.5 mm"')
    .option("--resolution-mm <mm>", "what the instrument was read to", positive("--resolution-mm"))
    .option(
      "--instrument-u95-mm <mm>",
      "of the instrument itself, from its certificate",
      positive("--instrument-u95-mm"),
    )
    .option("--on <day>", "the day of measuring, or of withdrawing (default: today)", day("--on"))
    .option("--printed-on <day>", "the day of printing", day("--printed-on"))
    .option(
      "--due-on <day>",
      "the day by which it is measured again (default: a year later)",
      day("--due-on"),
    )
    .option(
      "--tolerance-percent <n>",
      `refuse a scale that is further off, ${MOST_TOLERANCE_PERCENT} at most`,
      positive("--tolerance-percent"),
      MOST_TOLERANCE_PERCENT,
    )
    .option("--withdraw <why>", "take the scales out of use")
    .action(async (texts: string[], options: Options) => {
      const today = todayHere();
      const on = options.on ?? today;
      const ids = [...new Set(texts.map((text) => parseScaleId(text)?.id ?? text))];
      const measurement = options.withdraw === undefined ? measurementFrom(options, on) : null;
      if (!measurement && (options.acrossMm ?? options.alongMm ?? options.measuredMm) !== undefined) {
        throw CommandFailure.badArguments(
          "--withdraw: expected without a measurement",
          "Record the measurement first if it counts, then withdraw.",
        );
      }
      const changes = ids.map((id): ((record: CalibratedScales) => Recorded) => {
        const { withdraw: why = "" } = options;
        if (!measurement) return (record) => withWithdrawal(record, id, { on, why }, today);
        const scale = scaleNamed(id, options);
        return (record) => withMeasurement(record, scale, measurement, today);
      });
      await changeCalibratedScales(options.file, (record) => {
        let outcome: Recorded = { record };
        for (const change of changes) {
          if ("refused" in outcome) break;
          outcome = change(outcome.record);
        }
        return outcome;
      });
      await write(
        measurement
          ? `${printable(options.file)}: ${ids.join(" ")} measured on ${on}, due on ${measurement.dueOn}\n`
          : `${printable(options.file)}: ${ids.join(" ")} withdrawn on ${on}\n`,
      );
    });
}

function measurementFrom(options: Options, on: string): Measurement {
  const { acrossMm, alongMm, measuredMm } = options;
  const { by, instrument, resolutionMm } = options;
  if (by === undefined || instrument === undefined || resolutionMm === undefined) {
    throw CommandFailure.badArguments(
      "expected --by, --instrument and --resolution-mm with a measurement",
      'Type for example --by "A. Name" --instrument "steel rule, 0.5 mm" --resolution-mm 0.25.',
    );
  }
  if ((measuredMm === undefined) !== (options.nominalMm === undefined)) {
    throw CommandFailure.badArguments(
      "expected --measured-mm and --nominal-mm together",
      "Type for example --nominal-mm 150 --measured-mm 150.1.",
    );
  }
  const lengths: Measurement["lengths"] = [];
  if (acrossMm) lengths.push({ what: "check line across", nominalMm: CHECK_LINE_MM, measuredMm: acrossMm });
  if (alongMm) lengths.push({ what: "check line along", nominalMm: CHECK_LINE_MM, measuredMm: alongMm });
  if (measuredMm && options.nominalMm) {
    lengths.push({ what: "scale", nominalMm: options.nominalMm, measuredMm });
  }
  return {
    measuredOn: on,
    by,
    instrument,
    resolutionMm,
    instrumentU95Mm: options.instrumentU95Mm ?? null,
    tolerancePercent: options.tolerancePercent,
    dueOn: options.dueOn ?? yearAfter(on),
    lengths,
  };
}

function scaleNamed(id: string, { kind, nominalMm, printedOn }: Options): ScaleNamed {
  const own = parseScaleId(id);
  if (own) {
    if (kind) {
      throw CommandFailure.badArguments(
        `--kind: expected with a bought scale only, ${id} is a printed one`,
        "Leave it out: the id says what the scale is.",
      );
    }
    const design = markerDesign(own.kind, own.id);
    return { id, kind: own.kind, nominalMm: design.nominalMm, printedOn: printedOn ?? null };
  }
  if (!kind || nominalMm === undefined) {
    throw CommandFailure.badArguments(
      `expected the id of a printed scale, received "${printable(id.slice(0, 60))}"`,
      "Compare it with the print, every character; for a bought scale say --kind and --nominal-mm as well.",
    );
  }
  return { id, kind, nominalMm, printedOn: null };
}

/** By the clock of this computer: a day is what a person here calls today. */
function todayHere(): string {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

function yearAfter(on: string): string {
  const date = new Date(`${on}T00:00:00Z`);
  date.setUTCFullYear(date.getUTCFullYear() + 1);
  return date.toISOString().slice(0, 10);
}
