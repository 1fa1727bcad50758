import { TRUE_SIZE_ROOM, type TrueSizePicture, trueSizePdf, trueSizeSheets } from "@samescale/exchange";
import { CannotLeave } from "../cannot-leave.ts";
import type { OutgoingFrame, OutgoingPicture, ReleaseForm } from "../form.ts";
import { calibrationOf, type FrameCalibration, type PartPx } from "./calibration.ts";

/** More sheets than this are no print that anybody lays together: then a part is printed. */
const MOST_SHEETS = 6;

/** Pictures printed at the size of their subject; refused where the calibration does not carry it. */
export const trueSizeForm: ReleaseForm = {
  name: "true-size",
  scopes: ["health-record", "requester", "evidence"],
  async *files({ frames, request, mark, now }) {
    const pictures: TrueSizePicture[] = [];
    for (const frame of frames) pictures.push(await printed(frame, await frame.picture()));
    const bytes = await trueSizePdf({
      title: request.title ?? "Photographs at true size",
      subject: request.code ?? mark,
      madeAt: new Date(now),
      pictures,
    });
    yield { name: `${mark}-true-size.pdf`, bytes, frameId: null, original: null };
  },
};

/** @throws CannotLeave with the reason, where no part of it can be printed at true size */
async function printed(frame: OutgoingFrame, picture: OutgoingPicture): Promise<TrueSizePicture> {
  const calibration = calibrationOf(frame, picture);
  const answer = "why" in calibration ? calibration : partOf(frame, picture, calibration);
  if ("why" in answer) throw new CannotLeave(frame, `It cannot be printed at true size: ${answer.why}`);
  const { jpeg, widthPx, heightPx } = picture;
  const warnings = frame.reading?.body.found ? frame.reading.body.warnings : [];
  return {
    jpeg,
    widthPx,
    heightPx,
    ...answer,
    heading: [frame.view?.name, frame.day].filter((part) => part != null).join(" · "),
    notes: [...answer.notes, ...warnings],
  };
}

/** The whole picture where it holds and fits; else what fits one sheet round what was outlined, or round the middle. */
function partOf(frame: OutgoingFrame, picture: OutgoingPicture, calibration: FrameCalibration) {
  const whole = { x: 0, y: 0, width: picture.widthPx, height: picture.heightPx };
  const all = calibration.over(whole);
  if (!("why" in all)) {
    const mm = all.mmPerPx.value;
    if (trueSizeSheets(whole.width * mm, whole.height * mm) <= MOST_SHEETS) {
      return { partPx: whole, mmPerPx: all.mmPerPx, notes: [] };
    }
  }
  const partPx = oneSheet(frame, picture, calibration.mmPerPx.value);
  const part = calibration.over(partPx);
  if ("why" in part) return part;
  return {
    partPx,
    mmPerPx: part.mmPerPx,
    notes: ["A part of the picture; the whole does not fit or does not hold one size."],
  };
}

function oneSheet({ outline }: OutgoingFrame, picture: OutgoingPicture, mmPerPx: number): PartPx {
  // A little less than the room: the size within the part may differ by what the calibration allows.
  const width = Math.min(picture.widthPx, Math.floor((0.97 * TRUE_SIZE_ROOM.widthMm) / mmPerPx));
  const height = Math.min(picture.heightPx, Math.floor((0.97 * TRUE_SIZE_ROOM.heightMm) / mmPerPx));
  const points = outline?.body.regions.flatMap((region) => region.outline) ?? [];
  const middle = (values: readonly number[], otherwise: number) =>
    values.length === 0
      ? otherwise
      : ((Math.min(...values) + Math.max(...values)) / 2) * picture.pxPerOriginalPx;
  const start = (centre: number, length: number, whole: number) =>
    Math.round(Math.min(Math.max(0, centre - length / 2), whole - length));
  return {
    x: start(
      middle(
        points.map(([x]) => x),
        picture.widthPx / 2,
      ),
      width,
      picture.widthPx,
    ),
    y: start(
      middle(
        points.map(([, y]) => y),
        picture.heightPx / 2,
      ),
      height,
      picture.heightPx,
    ),
    width,
    height,
  };
}
