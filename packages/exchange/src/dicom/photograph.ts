import type { Measured } from "@samescale/geometry";
import { bodyPartCode, isPaired } from "./body-parts.ts";
import { type Code, codeItem, dcm, FINDING_SITE, sct, UNCERTAINTY, UNITS } from "./codes.ts";
import { jpegFrame, srgbProfile } from "./jpeg-frame.ts";
import { type Dataset, part10 } from "./part10.ts";
import { type DicomStudy, identityModules, laterality, type Side } from "./study.ts";
import { dayText, decimalText, freeText, personName, timeText } from "./text.ts";
import { uidOf } from "./uid.ts";

const VL_PHOTOGRAPHIC = "1.2.840.10008.5.1.4.1.1.77.1.4";
const JPEG_BASELINE = "1.2.840.10008.1.2.4.50";
const MEASURING_RULER = sct("102304005", "Measuring ruler");

/** One photograph as it leaves. */
export interface DicomPhotograph {
  /** Names it for ever: the same names and the same picture give the same UID. */
  readonly ids: readonly string[];
  /** Place within its series, from 1. */
  readonly number: number;
  readonly picture: Uint8Array;
  /** What was done to the picture since the camera wrote it; null: its coding is the camera's. */
  readonly derivation: string | null;
  /** Local time YYYY-MM-DDTHH:MM:SS; null: not known, or taken out. */
  readonly takenAt: string | null;
  readonly part: string | null;
  readonly side: Side;
  /** "Hand, dorsal": what the view is called. */
  readonly viewName: string | null;
  /** A person can be recognised in it; null: nobody said. */
  readonly recognisable: boolean | null;
  readonly camera: DicomCamera | null;
  readonly calibration: DicomCalibration | null;
}

export interface DicomCamera {
  readonly make: string | null;
  readonly model: string | null;
  readonly lens: string | null;
  readonly focalMm: number | null;
  readonly fNumber: number | null;
  readonly exposureS: number | null;
  readonly iso: number | null;
  readonly subjectDistanceMm: number | null;
}

/** What the scale in the picture says. Pixels are those of the picture that leaves. */
export interface DicomCalibration {
  /** Along the scale's edge. */
  readonly mmPerPx: Measured;
  /** How it was read, and how far the camera leaned, in words. */
  readonly description: string;
  /**
   * One size of pixel holds for the whole picture, within its uncertainty: there is a plane, and the camera hardly leaned.
   * Only then a viewer may measure by it.
   */
  readonly holdsEverywhere: boolean;
}

export interface MadeDicom {
  readonly sopClassUid: string;
  readonly sopInstanceUid: string;
  readonly bytes: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Why the picture was encoded once more; null: its bytes stand in the file as they were given. */
  readonly reencoded: string | null;
}

/**
 * A photograph as a DICOM VL Photographic Image, the JPEG inside it.
 * @source DicomPS3.3 A.32.4
 * @throws SamescaleError DICOM_VALUE_NOT_WRITABLE, PICTURE_DAMAGED
 */
export async function dicomPhotograph(study: DicomStudy, photograph: DicomPhotograph): Promise<MadeDicom> {
  const frame = await jpegFrame(photograph.picture);
  const changes = [photograph.derivation, frame.reencoded && `encoded once more: ${frame.reencoded}`];
  const derivation = changes.filter((change) => change !== null).join("; ");
  const sopInstanceUid = uidOf("image", ...photograph.ids);
  const isColour = frame.photometric !== "MONOCHROME2";
  const dataset: Dataset = {
    ...identityModules(study),
    Modality: "XC",
    SeriesInstanceUID: uidOf("series", "XC", ...study.ids),
    SeriesNumber: 1,
    SeriesDescription: study.description === null ? undefined : freeText(study.description, "LO"),
    OperatorsName: study.operator === null ? undefined : personName({ text: study.operator }),
    ...equipment(photograph.camera),
    InstanceNumber: photograph.number,
    ImageType: [derivation === "" ? "ORIGINAL" : "DERIVED", "PRIMARY"],
    DerivationDescription: derivation === "" ? undefined : freeText(derivation, "ST"),
    PatientOrientation: null,
    ...taken(photograph.takenAt),
    RecognizableVisualFeatures:
      photograph.recognisable === null ? undefined : photograph.recognisable ? "YES" : "NO",
    LossyImageCompression: "01",
    LossyImageCompressionMethod: "ISO_10918_1",
    LossyImageCompressionRatio: decimalText(
      Number(((frame.widthPx * frame.heightPx * (isColour ? 3 : 1)) / frame.bytes.byteLength).toPrecision(4)),
    ),
    SamplesPerPixel: isColour ? 3 : 1,
    PhotometricInterpretation: frame.photometric,
    PlanarConfiguration: isColour ? 0 : undefined,
    Rows: frame.heightPx,
    Columns: frame.widthPx,
    BitsAllocated: 8,
    BitsStored: 8,
    HighBit: 7,
    PixelRepresentation: 0,
    ...(await colourSpace(isColour, frame.iccProfile)),
    ...anatomy(photograph),
    ...acquisition(photograph.camera),
    ...calibrationModules(photograph),
    PixelData: [exactBuffer(frame.bytes)],
  };
  const meta = { sopClassUid: VL_PHOTOGRAPHIC, sopInstanceUid, transferSyntaxUid: JPEG_BASELINE };
  return {
    sopClassUid: VL_PHOTOGRAPHIC,
    sopInstanceUid,
    bytes: await part10(dataset, meta),
    widthPx: frame.widthPx,
    heightPx: frame.heightPx,
    reencoded: frame.reencoded,
  };
}

/** Not known: absent, not empty. */
function taken(at: string | null): Dataset {
  if (at === null) return {};
  const [ContentDate, ContentTime] = [dayText(at), timeText(at)];
  return { ContentDate, ContentTime, AcquisitionDateTime: ContentDate + ContentTime };
}

const equipment = (camera: DicomCamera | null): Dataset => ({
  Manufacturer: freeText(camera?.make ?? "", "LO"),
  ManufacturerModelName: camera?.model ? freeText(camera.model, "LO") : undefined,
});

/** Mirrors Exif. @source DicomPS3.3 C.8.12.11 */
function acquisition(camera: DicomCamera | null): Dataset {
  const number = (value: number | null | undefined) =>
    value === null || value === undefined ? undefined : decimalText(value);
  return {
    FNumber: number(camera?.fNumber),
    FocalLength: number(camera?.focalMm),
    ExposureTimeInSeconds: number(camera?.exposureS),
    PhotographicSensitivity: camera?.iso ? Math.round(camera.iso) : undefined,
    LensModel: camera?.lens ? freeText(camera.lens, "LT") : undefined,
    // Metres, as in Exif.
    SubjectDistance: number(camera?.subjectDistanceMm == null ? null : camera.subjectDistanceMm / 1000),
  };
}

async function colourSpace(isColour: boolean, own: Uint8Array | null): Promise<Dataset> {
  if (!isColour) return {};
  const profile = own ?? (await srgbProfile());
  return { ICCProfile: [exactBuffer(profile)], ColorSpace: own === null ? "SRGB" : undefined };
}

/** Unpaired where there is one of the part; empty at the series where there are two and nobody said which. */
function anatomy({ part, side }: DicomPhotograph): Dataset {
  const code = part === null ? null : bodyPartCode(part);
  const said = laterality(side);
  const unpaired = code !== null && !isPaired(part!) ? "U" : undefined;
  return {
    AnatomicRegionSequence: code === null ? undefined : [codeItem(code)],
    ImageLaterality: said ?? unpaired,
    Laterality: said === null && unpaired === undefined ? "" : undefined,
  };
}

/**
 * The scale factor stands in the acquisition context, with its uncertainty and how it was read. It stands as Pixel Spacing
 * as well, for viewers that measure, only where one size of pixel holds for the whole picture. Calibration type (FIDUCIAL)
 * and its description stay in words: as attributes they belong to no module of this IOD.
 * @source DicomPS3.3 10.7
 */
function calibrationModules({ calibration, part, viewName }: DicomPhotograph): Dataset {
  const items: Dataset[] = [];
  if (part !== null && bodyPartCode(part) === null) items.push(textItem(FINDING_SITE, part));
  if (viewName !== null) items.push(textItem(dcm("111031", "Image View"), viewName));
  const context = { AcquisitionContextSequence: items };
  if (calibration === null) return context;
  const { mmPerPx, description, holdsEverywhere } = calibration;
  items.push(textItem(dcm("122422", "Calibration Method"), description));
  for (const concept of [HORIZONTAL, VERTICAL]) items.push(numberItem(concept, mmPerPx.value, UNITS.mm));
  items.push(numberItem(UNCERTAINTY, mmPerPx.u95, UNITS.mm));
  const spacing = decimalText(Number(mmPerPx.value.toPrecision(8)));
  return {
    ...context,
    DeviceSequence: [{ ...codeItem(MEASURING_RULER), DeviceDescription: freeText(description, "LO") }],
    PixelSpacing: holdsEverywhere ? [spacing, spacing] : undefined,
  };
}

const HORIZONTAL = dcm("111026", "Horizontal Pixel Spacing");
const VERTICAL = dcm("111066", "Vertical Pixel Spacing");

const textItem = (concept: Code, text: string): Dataset => ({
  ConceptNameCodeSequence: [codeItem(concept)],
  ValueType: "TEXT",
  TextValue: freeText(text, "LT"),
});

const numberItem = (concept: Code, value: number, unit: Code): Dataset => ({
  ConceptNameCodeSequence: [codeItem(concept)],
  ValueType: "NUMERIC",
  NumericValue: decimalText(Number(value.toPrecision(8))),
  MeasurementUnitsCodeSequence: [codeItem(unit)],
});

/** The bytes alone, without the rest of the pool that a Buffer may lie in. */
const exactBuffer = (bytes: Uint8Array): ArrayBuffer => new Uint8Array(bytes).buffer;
