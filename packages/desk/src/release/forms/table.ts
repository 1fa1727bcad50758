import { jsonLines, type OutTable, type TableValue, tableCsv } from "@samescale/exchange";
import type { Measured } from "@samescale/geometry";
import { CONSENT_SCOPES } from "@samescale/practice";
import type { FormContext, OutgoingFile, OutgoingFrame, ReleaseForm } from "../form.ts";
import { METHOD_WORDS, shownPart } from "./shown.ts";

/** Frames and sizes as tables, each as CSV and as JSON Lines with the same rows. */
export const tableForm: ReleaseForm = {
  name: "table",
  scopes: CONSENT_SCOPES,
  async *files(context) {
    yield* asFiles(context.mark, "frames", framesTable(context));
    const sizes = sizesTable(context);
    if (sizes.rows.length > 0) yield* asFiles(context.mark, "measurements", sizes);
  },
};

function* asFiles(mark: string, name: string, table: OutTable): Generator<OutgoingFile> {
  const file = (ending: string, text: string): OutgoingFile => ({
    name: `${mark}-${name}.${ending}`,
    bytes: Buffer.from(text),
    frameId: null,
    original: null,
  });
  yield file("csv", tableCsv(table));
  yield file("jsonl", jsonLines(table));
}

/** What every row begins with: null where the scope takes it out. */
const COMMON = ["request", "patient_number", "code", "frame", "day", "view", "part", "side"];

function commonOf(context: FormContext, frame: OutgoingFrame): TableValue[] {
  const { part, side } = shownPart(frame, context);
  const { request, patient, pseudonym } = context;
  return [
    request.code,
    patient?.number ?? null,
    pseudonym,
    frame.name,
    frame.day,
    frame.view?.name ?? null,
    part,
    side,
  ];
}

const both = (measured: Measured | null | undefined): TableValue[] => [
  measured?.value ?? null,
  measured?.u95 ?? null,
];

function framesTable(context: FormContext): OutTable {
  return {
    columns: [
      ...COMMON,
      "taken_at",
      "ratio",
      "ratio_u95",
      "px_per_mm",
      "px_per_mm_u95",
      "lean_deg",
      "lean_deg_u95",
      "warnings",
    ],
    rows: context.frames.map((frame) => {
      const reading = frame.reading?.body.found ? frame.reading.body : null;
      const why = frame.reading?.body.found === false ? frame.reading.body.reason : null;
      return [
        ...commonOf(context, frame),
        frame.takenAt,
        ...both(reading?.reproductionRatio),
        ...both(reading?.scales[0]?.pxPerMm),
        ...both(reading?.plane?.tiltDeg),
        why ?? reading?.warnings.join("; ") ?? null,
      ];
    }),
  };
}

function sizesTable(context: FormContext): OutTable {
  const sizes = ["area_mm2", "length_mm", "width_mm", "perimeter_mm"];
  return {
    columns: [...COMMON, "region", ...sizes.flatMap((size) => [size, `${size}_u95`]), "method"],
    rows: context.frames.flatMap((frame) =>
      (frame.measurement?.body.regions ?? []).map((region, i) => [
        ...commonOf(context, frame),
        i + 1,
        ...both(region.areaMm2),
        ...both(region.lengthMm),
        ...both(region.widthMm),
        ...both(region.perimeterMm),
        METHOD_WORDS[frame.measurement!.body.method],
      ]),
    ),
  };
}
