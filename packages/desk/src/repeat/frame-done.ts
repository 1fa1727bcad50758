import { imagePoint, localScalePxPerMm, type Measured } from "@samescale/geometry";
import type { InfoAnswer, LookAnswer, PicturePool, ScaleAnswer, ScaleFound } from "@samescale/picture";
import type { FrameDone, PictureDone } from "@samescale/practice";
import type { Desk } from "../desk.ts";
import type { FrameThen } from "./judged-frames.ts";

/** What reading, file and plan tell of a frame, for the rules of repeating. */
export async function frameDone(
  desk: Desk,
  pool: PicturePool,
  then: FrameThen,
  signal?: AbortSignal,
): Promise<FrameDone> {
  const { frame, planned, plan, scale } = then;
  const file = await desk.library.originals.localFile(frame.sha256);
  const info = await infoOf(desk, pool, frame.sha256, file, signal);
  const chartFound =
    planned.view.chart === "in-frame" ? (await pool.run("colour", { file }, signal)).found : null;
  const look = await pool.run("look", { file, scale }, signal);
  const { sensor } = plan.body;
  const longMm = Math.max(sensor.widthMm, sensor.heightMm);
  return {
    name: frame.name,
    sha256: frame.sha256,
    date: then.date,
    verdict: { verdict: then.verdict.verdict, say: then.verdict.say },
    planned,
    plannedBody: { id: plan.body.id, name: plan.body.name, longMm },
    picture: { ...read(scale), ...seen(look), chartFound },
    file: {
      camera: info.model,
      lens: info.lens,
      focalMm: info.focalMm,
      fNumber: info.fNumber,
      exposureS: info.exposureS,
      iso: info.iso,
      flashFired: info.flashFired,
      sensorLongMm: sensorLongMm(info, longMm),
    },
  };
}

/** As it was understood at intake, where it was. */
async function infoOf(
  desk: Desk,
  pool: PicturePool,
  sha256: string,
  file: string,
  signal?: AbortSignal,
): Promise<InfoAnswer> {
  const row = await desk.library.read
    .selectFrom("file")
    .select("info")
    .where("sha256", "=", sha256)
    .executeTakeFirst();
  const kept = row?.info ? (JSON.parse(row.info) as InfoAnswer | null) : null;
  return kept ?? (await pool.run("info", { file }, signal));
}

function seen({ subject, light }: LookAnswer): Pick<PictureDone, "subject" | "light"> {
  return {
    subject: subject.judged
      ? {
          fillsFrame: subject.fillsFrame,
          share: subject.share,
          offCentre: subject.offCentre,
          runsOut: subject.runsOut,
        }
      : null,
    light: light.judged ? { fromDeg: light.fromDeg, u95Deg: light.u95Deg, stops: light.stops } : null,
  };
}

function read(scale: ScaleAnswer): Omit<PictureDone, "chartFound" | "subject" | "light"> {
  const { widthPx, heightPx } = scale;
  if (!scale.found) {
    const nothing = { pxPerMm: null, ratio: null, leanDeg: null, scale: null, scaleHeightMm: null };
    return { widthPx, heightPx, ...nothing, ratioFrom: scale.reason };
  }
  const [first] = scale.scales;
  const { step, parameters } = scale.recipe;
  return {
    widthPx,
    heightPx,
    pxPerMm: pxPerMmInMiddle(scale),
    ratio: scale.reproductionRatio,
    ratioFrom: scale.ratioFrom ?? null,
    leanDeg: scale.plane?.tiltDeg ?? null,
    scale: first
      ? {
          kind: first.kind,
          at: { x: first.at.x / widthPx, y: first.at.y / heightPx },
          turnedDeg: first.axisDeg - 90 * Math.round(first.axisDeg / 90),
        }
      : null,
    scaleHeightMm: step === "scale-to-subject" ? Number(parameters.heightMm) : null,
  };
}

/** Square to the line of sight: where the plane is known, in the middle and across the lean; else as the edge shows it. */
function pxPerMmInMiddle({ widthPx, heightPx, plane, scales: [first] }: ScaleFound): Measured | null {
  if (!first) return null;
  if (plane === null) return first.pxPerMm;
  const value = localScalePxPerMm(plane.homographyPxToMm, imagePoint(widthPx / 2, heightPx / 2)).max;
  return { value, u95: (value * first.pxPerMm.u95) / first.pxPerMm.value };
}

/** Beyond this a rounded equivalent focal length does tell that it was another camera. */
const SURELY_OTHER = 0.15;

/** Only as far as the file is exact about it. */
function sensorLongMm(info: InfoAnswer, plannedLongMm: number): number | null {
  const { sensorWidthMm, orientation, widthPx, heightPx } = info;
  if (sensorWidthMm === null) return null;
  const storedWidthPx = orientation >= 5 ? heightPx : widthPx;
  const longMm = (sensorWidthMm.value * Math.max(widthPx, heightPx)) / storedWidthPx;
  const exact = sensorWidthMm.from.startsWith("focal plane");
  return exact || Math.abs(longMm / plannedLongMm - 1) > SURELY_OTHER ? Number(longMm.toFixed(2)) : null;
}
