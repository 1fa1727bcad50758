import type { Measured } from "@samescale/geometry";
import type { MeasureAnswer, ScaleAnswer } from "@samescale/picture";
import type { Verdict } from "@samescale/practice";
import { seenFrames, seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import type { ContactSheet, SheetFrame, SheetRequest, SheetVisit } from "./contact-sheet-types.ts";

type KeptVerdict = Verdict & {
  readonly view: string;
  readonly viewName: string;
  readonly ratioPlanned: number;
};

/**
 * Everything that somebody may look at by request and visit, newest visit first within a request, and what waits for a
 * person.
 */
export async function contactSheet(desk: Desk, actor: Actor): Promise<ContactSheet> {
  const read = desk.library.read;
  const now = desk.library.clock().toISOString();
  const [requests, visits, frames, newest] = [
    await read
      .selectFrom("request")
      .select(["id", "code", "details"])
      .where(seenRequests(actor, now))
      .orderBy("code")
      .execute(),
    await read
      .selectFrom("visit")
      .select(["id", "request_id", "date"])
      .where("void_because", "is", null)
      .execute(),
    await sheetRows(desk, actor, now),
    await newestDerivatives(desk),
  ];
  const sheetFrames = frames.map((frame) => ({ visitId: frame.visit_id, shown: sheetFrame(frame, newest) }));
  const sheetRequests: SheetRequest[] = [];
  for (const request of requests) {
    const plan = await planOfRequest(desk, actor, request.id);
    const ofRequest: SheetVisit[] = visits
      .filter((visit) => visit.request_id === request.id)
      .toSorted((a, b) => (b.date ?? "").localeCompare(a.date ?? ""))
      .map((visit) => {
        const shown = sheetFrames.filter((f) => f.visitId === visit.id).map((f) => f.shown);
        const made = new Set(shown.map((f) => f.viewName));
        const missing = plan?.views.map((v) => v.view.name).filter((name) => !made.has(name)) ?? [];
        return {
          visitId: visit.id,
          date: visit.date ?? "day not known",
          frames: shown,
          missingViews: shown.some((f) => !f.isLabelFrame) ? missing : [],
        };
      })
      .filter((visit) => visit.frames.length > 0);
    const { title = "" } = JSON.parse(request.details) as { title?: string };
    if (ofRequest.length > 0) sheetRequests.push({ requestCode: request.code, title, visits: ofRequest });
  }
  return {
    requests: sheetRequests,
    unplaced: sheetFrames.filter((f) => f.visitId === null).map((f) => f.shown),
  };
}

async function sheetRows({ library }: Desk, actor: Actor, now: string) {
  const rows = await library.read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .select(["frame.id", "frame.visit_id", "frame.kind", "frame.taken_at", "frame.position", "frame.placing"])
    .select(["file.sha256", "file.name", "file.format", "file.kind as fileKind"])
    .where(seenFrames(actor, now))
    .orderBy("frame.taken_at", (order) => order.asc().nullsFirst())
    .orderBy("frame.position")
    .execute();
  // One row per frame: the JPEG where there is one, a video only where there is no picture.
  const rank = ({ fileKind, format }: (typeof rows)[number]) =>
    fileKind === null ? (format === "jpeg" ? 0 : 1) : fileKind === "video" ? 2 : 3;
  const byFrame = new Map<string, (typeof rows)[number]>();
  for (const row of rows) {
    const known = byFrame.get(row.id);
    if (!known || rank(row) < rank(known)) byFrame.set(row.id, row);
  }
  return [...byFrame.values()];
}

interface Newest {
  readonly verdict: ReadonlyMap<string, KeptVerdict>;
  readonly reading: ReadonlyMap<string, ScaleAnswer>;
  readonly measurement: ReadonlyMap<string, MeasureAnswer>;
}

/** The newest of each kind for every frame: ids are made in the order of time. */
async function newestDerivatives({ library }: Desk): Promise<Newest> {
  const newestOf = async <Body>(table: "verdict" | "reading" | "measurement"): Promise<Map<string, Body>> => {
    const rows = await library.read.selectFrom(table).select(["frame_id", "body"]).orderBy("id").execute();
    return new Map(
      rows.flatMap((r) => (r.frame_id === null ? [] : [[r.frame_id, JSON.parse(r.body) as Body]])),
    );
  };
  return {
    verdict: await newestOf<KeptVerdict>("verdict"),
    reading: await newestOf<ScaleAnswer>("reading"),
    measurement: await newestOf<MeasureAnswer>("measurement"),
  };
}

function sheetFrame(frame: Awaited<ReturnType<typeof sheetRows>>[number], newest: Newest): SheetFrame {
  const verdict = newest.verdict.get(frame.id) ?? null;
  const reading = newest.reading.get(frame.id) ?? null;
  const measurement = newest.measurement.get(frame.id) ?? null;
  return {
    frameId: frame.id,
    sha256: frame.sha256,
    fileName: frame.name,
    takenAt: frame.taken_at,
    viewName: verdict?.viewName ?? null,
    ratioPlanned: verdict?.ratioPlanned ?? null,
    ratioRead: reading?.found ? reading.reproductionRatio : null,
    leanDeg: reading?.found ? (reading.plane?.tiltDeg ?? null) : null,
    areaMm2: totalArea(measurement),
    verdict: verdict?.verdict ?? null,
    say: verdict?.say ?? (frame.visit_id === null ? frame.placing : ""),
    isLabelFrame: frame.kind === "label",
  };
}

/** Intervals of regions in one picture share scale and plane, so they are added, not combined as independent. */
function totalArea(measurement: MeasureAnswer | null): Measured | null {
  const areas = measurement?.regions.map((region) => region.areaMm2) ?? [];
  if (areas.length === 0) return null;
  return { value: areas.reduce((s, a) => s + a.value, 0), u95: areas.reduce((s, a) => s + a.u95, 0) };
}
