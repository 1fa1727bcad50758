import type { Measured } from "@samescale/geometry";
import { bodyPartCode } from "./body-parts.ts";
import {
  BILATERAL,
  type Code,
  codeItem,
  dcm,
  FINDING_SITE,
  LATERALITY,
  LEFT,
  RIGHT,
  sct,
  UNCERTAINTY,
  UNITS,
} from "./codes.ts";
import { type Dataset, part10 } from "./part10.ts";
import type { MadeDicom } from "./photograph.ts";
import { type DicomStudy, identityModules, type Side, studyUid } from "./study.ts";
import { dayText, decimalText, freeText, personName, timeText } from "./text.ts";
import { uidOf } from "./uid.ts";

const COMPREHENSIVE_SR = "1.2.840.10008.5.1.4.1.1.88.33";
const EXPLICIT_LITTLE_ENDIAN = "1.2.840.10008.1.2.1";

type Point = readonly [x: number, y: number];

/** One region that was outlined and measured in one photograph. */
export interface DicomRegion {
  readonly image: Pick<MadeDicom, "sopClassUid" | "sopInstanceUid">;
  /** Names the region, the same at every visit where that is known. */
  readonly ids: readonly string[];
  readonly label: string;
  readonly part: string | null;
  readonly side: Side;
  /** In pixels of the photograph as it left, origin at the outer corner of the first pixel: DICOM's own. */
  readonly outlinePx: readonly Point[];
  readonly areaMm2: Measured;
  readonly perimeterMm: Measured;
  readonly lengthMm: Measured;
  readonly lengthEndsPx: readonly [Point, Point];
  readonly widthMm: Measured;
  readonly widthEndsPx: readonly [Point, Point];
  /** How the numbers came about, in words. */
  readonly method: string;
}

export interface DicomReport {
  readonly ids: readonly string[];
  /** UTC, ISO 8601. */
  readonly madeAt: string;
  readonly regions: readonly DicomRegion[];
}

/**
 * Measurements as a structured report after TID 1500, each number with its unit, half the width of its 95 % interval
 * and the line in the picture that it was measured along.
 * @source DicomPS3.16 TID 1500, TID 1410, TID 310, CID 225
 */
export function dicomMeasurements(study: DicomStudy, report: DicomReport): Promise<Uint8Array> {
  const meta = {
    sopClassUid: COMPREHENSIVE_SR,
    sopInstanceUid: uidOf("measurements", ...report.ids),
    transferSyntaxUid: EXPLICIT_LITTLE_ENDIAN,
  };
  const images = [...new Map(report.regions.map(({ image }) => [image.sopInstanceUid, image])).values()];
  return part10(
    {
      ...identityModules(study),
      Modality: "SR",
      SeriesInstanceUID: uidOf("series", "SR", ...study.ids),
      SeriesNumber: 2,
      ReferencedPerformedProcedureStepSequence: [],
      Manufacturer: "",
      InstanceNumber: 1,
      ContentDate: dayText(report.madeAt),
      ContentTime: timeText(report.madeAt),
      TimezoneOffsetFromUTC: "+0000",
      CompletionFlag: "COMPLETE",
      VerificationFlag: "UNVERIFIED",
      PerformedProcedureCodeSequence: [],
      CurrentRequestedProcedureEvidenceSequence: [
        {
          StudyInstanceUID: studyUid(study),
          ReferencedSeriesSequence: [
            {
              SeriesInstanceUID: uidOf("series", "XC", ...study.ids),
              ReferencedSOPSequence: images.map(reference),
            },
          ],
        },
      ],
      ...container(IMAGING_MEASUREMENT_REPORT),
      ContentTemplateSequence: [{ MappingResource: "DCMR", TemplateIdentifier: "1500" }],
      ContentSequence: content(study, report, images),
    },
    meta,
  );
}

const IMAGING_MEASUREMENT_REPORT = dcm("126000", "Imaging Measurement Report");

function content(study: DicomStudy, report: DicomReport, images: readonly DicomRegion["image"][]): Dataset[] {
  return [
    concept("HAS CONCEPT MOD", dcm("121049", "Language of Content Item and Descendants"), {
      value: "en",
      scheme: "RFC5646",
      meaning: "English",
    }),
    ...observer(study.operator),
    concept("HAS CONCEPT MOD", dcm("121058", "Procedure reported"), dcm("XC", "External-camera Photography")),
    {
      RelationshipType: "CONTAINS",
      ...container(dcm("111028", "Image Library")),
      ContentSequence: [
        {
          RelationshipType: "CONTAINS",
          ...container(dcm("126200", "Image Library Group")),
          ContentSequence: images.map((image) => ({ RelationshipType: "CONTAINS", ...imageItem(image) })),
        },
      ],
    },
    {
      RelationshipType: "CONTAINS",
      ...container(dcm("126010", "Imaging Measurements")),
      ContentSequence: report.regions.map(measurementGroup),
    },
  ];
}

/** TID 1001: who says so. Without a name it is the device: somebody whose name must not leave. */
function observer(name: string | null): Dataset[] {
  const type = dcm("121005", "Observer Type");
  if (name !== null) {
    return [
      concept("HAS OBS CONTEXT", type, dcm("121006", "Person")),
      {
        RelationshipType: "HAS OBS CONTEXT",
        ValueType: "PNAME",
        ConceptNameCodeSequence: [codeItem(dcm("121008", "Person Observer Name"))],
        PersonName: personName({ text: name }),
      },
    ];
  }
  return [
    concept("HAS OBS CONTEXT", type, dcm("121007", "Device")),
    uidItem("HAS OBS CONTEXT", dcm("121012", "Device Observer UID"), uidOf("device", "samescale")),
  ];
}

function measurementGroup(region: DicomRegion): Dataset {
  const { part, side, outlinePx, lengthEndsPx, widthEndsPx, image } = region;
  const closed = [...outlinePx, outlinePx[0]!];
  const numbers: readonly (readonly [Code, Measured, Code, readonly Point[] | null])[] = [
    [sct("131184002", "Area of defined region"), region.areaMm2, UNITS.mm2, null],
    [sct("131191004", "Perimeter"), region.perimeterMm, UNITS.mm, null],
    [sct("410668003", "Length"), region.lengthMm, UNITS.mm, lengthEndsPx],
    [sct("103355008", "Width"), region.widthMm, UNITS.mm, widthEndsPx],
  ];
  return {
    RelationshipType: "CONTAINS",
    ...container(dcm("125007", "Measurement Group")),
    ContentTemplateSequence: [{ MappingResource: "DCMR", TemplateIdentifier: "1410" }],
    ContentSequence: [
      text("HAS OBS CONTEXT", dcm("112039", "Tracking Identifier"), region.label),
      uidItem("HAS OBS CONTEXT", dcm("112040", "Tracking Unique Identifier"), uidOf("region", ...region.ids)),
      ...findingSite(part, side),
      text("HAS CONCEPT MOD", sct("370129005", "Measurement Method"), region.method),
      { RelationshipType: "CONTAINS", ...coordinates(dcm("111030", "Image Region"), closed, image) },
      ...numbers.map(([name, measured, unit, along]) => numeric(name, measured, unit, along, image)),
    ],
  };
}

function findingSite(part: string | null, side: Side): Dataset[] {
  if (part === null) return [];
  const code = bodyPartCode(part);
  if (code === null) return [text("HAS CONCEPT MOD", FINDING_SITE, part)];
  const of = side === "left" ? LEFT : side === "right" ? RIGHT : side === "both" ? BILATERAL : null;
  return [
    {
      ...concept("HAS CONCEPT MOD", FINDING_SITE, code),
      ContentSequence: of === null ? undefined : [concept("HAS CONCEPT MOD", LATERALITY, of)],
    },
  ];
}

function numeric(
  name: Code,
  { value, u95 }: Measured,
  unit: Code,
  along: readonly Point[] | null,
  image: DicomRegion["image"],
): Dataset {
  return {
    RelationshipType: "CONTAINS",
    ...number(name, value, unit),
    ContentSequence: [
      { RelationshipType: "HAS PROPERTIES", ...number(UNCERTAINTY, u95, unit) },
      ...(along === null
        ? []
        : [{ RelationshipType: "INFERRED FROM", ...coordinates(dcm("121055", "Path"), along, image) }]),
    ],
  };
}

const number = (name: Code, value: number, unit: Code): Dataset => ({
  ValueType: "NUM",
  ConceptNameCodeSequence: [codeItem(name)],
  MeasuredValueSequence: [
    {
      MeasurementUnitsCodeSequence: [codeItem(unit)],
      NumericValue: decimalText(Number(value.toPrecision(8))),
    },
  ],
});

const coordinates = (name: Code, points: readonly Point[], image: DicomRegion["image"]): Dataset => ({
  ValueType: "SCOORD",
  ConceptNameCodeSequence: [codeItem(name)],
  GraphicType: "POLYLINE",
  GraphicData: points.flat(),
  ContentSequence: [{ RelationshipType: "SELECTED FROM", ...imageItem(image) }],
});

const container = (name: Code): Dataset => ({
  ValueType: "CONTAINER",
  ConceptNameCodeSequence: [codeItem(name)],
  ContinuityOfContent: "SEPARATE",
});

const concept = (relation: string, name: Code, value: Code): Dataset => ({
  RelationshipType: relation,
  ValueType: "CODE",
  ConceptNameCodeSequence: [codeItem(name)],
  ConceptCodeSequence: [codeItem(value)],
});

const text = (relation: string, name: Code, value: string): Dataset => ({
  RelationshipType: relation,
  ValueType: "TEXT",
  ConceptNameCodeSequence: [codeItem(name)],
  TextValue: freeText(value, "LT"),
});

const uidItem = (relation: string, name: Code, uid: string): Dataset => ({
  RelationshipType: relation,
  ValueType: "UIDREF",
  ConceptNameCodeSequence: [codeItem(name)],
  UID: uid,
});

const reference = ({ sopClassUid, sopInstanceUid }: DicomRegion["image"]): Dataset => ({
  ReferencedSOPClassUID: sopClassUid,
  ReferencedSOPInstanceUID: sopInstanceUid,
});

const imageItem = (image: DicomRegion["image"]): Dataset => ({
  ValueType: "IMAGE",
  ReferencedSOPSequence: [reference(image)],
});
