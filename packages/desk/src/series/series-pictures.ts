import type { MeasureAnswer, OutlineRegion, ScaleAnswer } from "@samescale/picture";
import type { PlannedView } from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import type { SeriesMember } from "../compare/compare-series.ts";
import type { Desk } from "../desk.ts";
import type { KeptVerdict } from "../frames/judge-by-hand.ts";
import { framesOfVisit, type LookedAtFrame } from "../look/frames-of-visit.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import type { MeasuredFrame } from "../measure/measure-frame.ts";
import { visitsOf } from "../repeat/judged-frames.ts";

/** One visit of a series: its picture of the view, or why there is none. */
export interface VisitPicture {
  readonly visitId: string | null;
  readonly date: string | null;
  /** Null: this view was not made then. */
  readonly member: SeriesMember | null;
  readonly verdict: KeptVerdict["verdict"] | null;
  /** Its scale lay out of the subject's plane; this is the measurement that was brought down to it. */
  readonly corrected: MeasuredFrame | null;
}

interface ViewedFrame {
  readonly frame: LookedAtFrame;
  readonly verdict: KeptVerdict;
}

/** The views of a request's plan, each with how many visits have a picture of it that this person may look at. */
export async function viewsWithPictures(
  desk: Desk,
  actor: Actor,
  requestId: string,
): Promise<readonly { readonly planned: PlannedView; readonly pictures: number }[]> {
  const plan = await planOfRequest(desk, actor, requestId);
  const visits = await Promise.all(
    (await visitsOf(desk, requestId)).map((visit) => viewedIn(desk, actor, visit.id)),
  );
  return (plan?.views ?? []).map((planned) => ({
    planned,
    pictures: visits.filter((frames) => chosenOf(frames, planned.view.key) !== null).length,
  }));
}

/**
 * Every visit of a request with its picture of one view, by day. Of several pictures the last that is not refused counts,
 * else the last. A visit that was booked and left no picture keeps its place.
 */
export async function picturesOfView(
  desk: Desk,
  actor: Actor,
  requestId: string,
  viewKey: string,
): Promise<readonly VisitPicture[]> {
  const pictures: VisitPicture[] = [];
  for (const visit of await visitsOf(desk, requestId)) {
    const chosen = chosenOf(await viewedIn(desk, actor, visit.id), viewKey);
    const found = chosen && (await memberOf(desk, chosen.frame, visit.date ?? chosen.frame.takenAt ?? ""));
    pictures.push({
      visitId: visit.id,
      date: visit.date,
      member: found?.member ?? null,
      verdict: chosen?.verdict.verdict ?? null,
      corrected: found?.corrected ?? null,
    });
  }
  const days = new Set(pictures.map(({ date }) => date));
  for (const date of await bookedDays(desk, requestId)) {
    if (!days.has(date)) pictures.push({ visitId: null, date, member: null, verdict: null, corrected: null });
  }
  return pictures.toSorted((a, b) => (a.date ?? "9999").localeCompare(b.date ?? "9999"));
}

async function viewedIn(desk: Desk, actor: Actor, visitId: string): Promise<ViewedFrame[]> {
  const viewed: ViewedFrame[] = [];
  for (const frame of await framesOfVisit(desk, actor, visitId)) {
    const row = await newestOf(desk, "verdict", frame.frameId);
    if (row) viewed.push({ frame, verdict: JSON.parse(row.body) as KeptVerdict });
  }
  return viewed;
}

function chosenOf(frames: readonly ViewedFrame[], viewKey: string): ViewedFrame | null {
  const ofView = frames.filter(({ verdict }) => verdict.view === viewKey);
  return ofView.findLast(({ verdict }) => verdict.verdict !== "repeat") ?? ofView.at(-1) ?? null;
}

const newestOf = async ({ library }: Desk, table: "verdict" | "reading", frameId: string) =>
  await library.read
    .selectFrom(table)
    .select(["body", "sha256"])
    .where("frame_id", "=", frameId)
    .orderBy("id", "desc")
    .executeTakeFirst();

interface Derived {
  readonly body: string;
  readonly sha256: string;
  readonly recipe: string;
  readonly inputs: string;
}
interface Recipe {
  readonly step: string;
  readonly parameters: Readonly<Record<string, unknown>>;
}

/** What was read, outlined and measured of a frame last. Outlines drawn again blindly are for the repeats alone. */
async function memberOf(
  { library }: Desk,
  frame: LookedAtFrame,
  date: string,
): Promise<{ member: SeriesMember; corrected: MeasuredFrame | null } | null> {
  const rowsOf = async (table: "reading" | "outline" | "measurement"): Promise<Derived[]> =>
    await library.read
      .selectFrom(table)
      .select(["body", "sha256", "recipe", "inputs"])
      .where("frame_id", "=", frame.frameId)
      .orderBy("id")
      .execute();
  const readings = await rowsOf("reading");
  const isCorrected = ({ recipe }: Derived) => (JSON.parse(recipe) as Recipe).step === "scale-to-subject";
  const reading = readings.findLast((row) => !isCorrected(row));
  if (!reading) return null;
  const corrected = new Set(readings.filter(isCorrected).map(({ sha256 }) => sha256));
  const outlines = new Map(
    (await rowsOf("outline"))
      .filter(({ recipe }) => (JSON.parse(recipe) as Recipe).parameters.isBlindRepeat !== true)
      .map((row) => [row.sha256, row]),
  );
  const measurements = (await rowsOf("measurement")).flatMap(
    (row): (MeasuredFrame & { isCorrected: boolean })[] => {
      const inputs = JSON.parse(row.inputs) as string[];
      const outline = inputs.map((sha256) => outlines.get(sha256)).find((one) => one !== undefined);
      if (!outline) return [];
      const measurement = { file: frame.name, ...(JSON.parse(row.body) as Omit<MeasureAnswer, "file">) };
      return [
        {
          regions: (JSON.parse(outline.body) as { regions: OutlineRegion[] }).regions,
          outlineSha256: outline.sha256,
          measurement,
          measurementSha256: row.sha256,
          isCorrected: inputs.some((sha256) => corrected.has(sha256)),
        },
      ];
    },
  );
  const measured = measurements.findLast((one) => !one.isCorrected) ?? null;
  const brought = measurements.findLast((one) => one.isCorrected) ?? null;
  const scale = { ...(JSON.parse(reading.body) as ScaleAnswer), file: frame.name };
  return {
    member: { frame, date, scale, readingSha256: reading.sha256, measured },
    corrected: brought?.outlineSha256 === measured?.outlineSha256 ? brought : null,
  };
}

/** Days that were booked and are over. */
async function bookedDays({ library }: Desk, requestId: string): Promise<string[]> {
  const row = await library.read
    .selectFrom("request")
    .select("details")
    .where("id", "=", requestId)
    .executeTakeFirst();
  const { bookedAt = [] } = JSON.parse(row?.details ?? "{}") as { bookedAt?: string[] };
  const today = library.clock().toISOString().slice(0, 10);
  return [...new Set(bookedAt.map((at) => at.slice(0, 10)))].filter((day) => day < today);
}
