import { createHash } from "node:crypto";
import { type DicomRegion, type DicomStudy, dicomMeasurements, dicomPhotograph } from "@samescale/exchange";
import type { FormContext, OutgoingFrame, OutgoingPicture, ReleaseForm } from "../form.ts";
import { deidentifies } from "../scope-rules.ts";
import { calibrationOf } from "./calibration.ts";
import { METHOD_WORDS, shownPart } from "./shown.ts";

/** Each photograph as a DICOM object, the days apart as studies, and what was measured as a report for each (docs/formats.md). */
export const dicomForm: ReleaseForm = {
  name: "dicom",
  scopes: ["health-record", "requester", "research"],
  async *files(context) {
    const days = Map.groupBy(context.frames, ({ day }) => day);
    let reports = 0;
    for (const [day, frames] of days) {
      const study = studyOf(context, day, frames);
      const regions: DicomRegion[] = [];
      for (const [i, frame] of frames.entries()) {
        const coded = await frame.jpegAsCoded();
        const picture = coded ?? (await frame.picture());
        const made = await dicomPhotograph(study, {
          ids: idsOf(context, frame, picture),
          number: i + 1,
          picture: picture.jpeg,
          derivation: coded === null ? derivationOf(picture) : null,
          takenAt: frame.takenAt,
          ...shownPart(frame, context),
          viewName: frame.view?.name ?? null,
          recognisable: frame.view?.identifiable ?? null,
          camera: frame.camera && { ...frame.camera, subjectDistanceMm: null },
          calibration: dicomCalibration(frame, picture),
        });
        yield {
          name: `${frame.name}.dcm`,
          bytes: made.bytes,
          frameId: frame.frameId,
          original: frame.original,
        };
        regions.push(...regionsOf(context, frame, picture, made));
      }
      if (regions.length === 0) continue;
      reports += 1;
      const report = { ids: [context.releaseId, String(reports)], madeAt: context.now, regions };
      const name = `${context.mark}-measurements${reports > 1 ? `-${reports}` : ""}.dcm`;
      yield { name, bytes: await dicomMeasurements(study, report), frameId: null, original: null };
    }
  },
};

function studyOf(context: FormContext, day: string | null, frames: readonly OutgoingFrame[]): DicomStudy {
  const { patient, request, rules, releaseId, mark, pseudonym, actor } = context;
  const isHidden = deidentifies(rules);
  return {
    ids: [isHidden || request.id === null ? releaseId : request.id, day ?? ""],
    patient: patient && { ...patient, name: nameOf(patient) },
    deidentified: isHidden ? { method: "Name, number, birth date and true days left out", pseudonym } : null,
    code: request.code ?? mark,
    day,
    beganAt:
      frames
        .map(({ takenAt }) => takenAt)
        .filter((at) => at !== null)
        .sort()[0] ?? null,
    description: request.title,
    operator: isHidden ? null : actor.name,
  };
}

const nameOf = ({ name: text, family, given }: NonNullable<FormContext["patient"]>) => ({
  text,
  ...(family !== undefined && { family }),
  ...(given !== undefined && { given }),
});

/** Another picture is another object. De-identified, nothing that stands in the record takes part. */
const idsOf = (
  { rules, releaseId }: FormContext,
  frame: OutgoingFrame,
  picture: OutgoingPicture,
): string[] => [
  ...(deidentifies(rules) ? [releaseId, frame.name] : [frame.frameId]),
  createHash("sha256").update(picture.jpeg).digest("hex"),
];

const derivationOf = ({ pxPerOriginalPx, masked }: OutgoingPicture): string =>
  [
    "turned upright and encoded once more from the camera's file",
    ...(pxPerOriginalPx === 1
      ? []
      : [`made smaller, ${pxPerOriginalPx.toFixed(4)} of its pixels along a side`]),
    ...(masked === 0 ? [] : [`${(100 * masked).toFixed(1)} % of it covered`]),
  ].join("; ");

function dicomCalibration(frame: OutgoingFrame, picture: OutgoingPicture) {
  const calibration = calibrationOf(frame, picture);
  if ("why" in calibration) return null;
  const whole = calibration.over({ x: 0, y: 0, width: picture.widthPx, height: picture.heightPx });
  return "why" in whole
    ? { mmPerPx: calibration.mmPerPx, description: calibration.description, holdsEverywhere: false }
    : { mmPerPx: whole.mmPerPx, description: calibration.description, holdsEverywhere: true };
}

function regionsOf(
  context: FormContext,
  frame: OutgoingFrame,
  { pxPerOriginalPx: times }: OutgoingPicture,
  image: DicomRegion["image"],
): DicomRegion[] {
  const { outline, measurement } = frame;
  if (outline === null || measurement === null) return [];
  const inPicture = ([x, y]: readonly [number, number]) => [x * times, y * times] as const;
  const ends = ([one, other]: readonly [readonly [number, number], readonly [number, number]]) =>
    [inPicture(one), inPicture(other)] as const;
  return measurement.body.regions.flatMap((sizes, i) => {
    const region = outline.body.regions[i];
    if (region === undefined) return [];
    const holes = region.holes.length === 0 ? "" : `, ${region.holes.length} holes in it not counted`;
    return [
      {
        image,
        ids: [context.releaseId, frame.name, String(i)],
        label: `${frame.name}, region ${i + 1}`,
        ...shownPart(frame, context),
        outlinePx: region.outline.map(inPicture),
        areaMm2: sizes.areaMm2,
        perimeterMm: sizes.perimeterMm,
        lengthMm: sizes.lengthMm,
        lengthEndsPx: ends(sizes.lengthEndsPx),
        widthMm: sizes.widthMm,
        widthEndsPx: ends(sizes.widthEndsPx),
        method: `${METHOD_WORDS[measurement.body.method]}${holes}.`,
      },
    ];
  });
}
