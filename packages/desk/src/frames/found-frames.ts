import type { Measured } from "@samescale/geometry";
import type { MeasureAnswer, ScaleAnswer } from "@samescale/picture";
import { type RequestDetails, titleOf } from "@samescale/practice";
import type { Found } from "@samescale/record";
import { seenFrames } from "../access/seeing.ts";
import { type SensitiveCategory, sensitiveOf } from "../access/sensitive.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { find } from "../find/find.ts";
import type { KeptVerdict } from "./judge-by-hand.ts";

/** A frame as a list of small pictures shows it. */
export interface FrameCard {
  readonly frameId: string;
  /** The original that is looked at. */
  readonly sha256: string;
  readonly name: string;
  readonly kind: "picture" | "label" | "video";
  /** Corrected local time, without a zone. */
  readonly takenAt: string | null;
  readonly request: { readonly code: string; readonly title: string } | null;
  readonly visit: { readonly id: string; readonly date: string | null } | null;
  readonly view: { readonly key: string; readonly name: string } | null;
  readonly verdict: KeptVerdict["verdict"] | null;
  readonly say: string;
  readonly isByHand: boolean;
  readonly note: string | null;
  readonly ratioPlanned: number | null;
  readonly ratioRead: Measured | null;
  readonly leanDeg: Measured | null;
  readonly areaMm2: Measured | null;
  readonly sensitive: readonly SensitiveCategory[];
  readonly asideBecause: string | null;
}

/** What somebody looks for among frames. The first four say where, the others hide some of what is there. */
export interface FramesWanted {
  readonly text: string;
  readonly requestId: string | null;
  readonly visitId: string | null;
  /** Frames that were put aside instead of those that were not. */
  readonly aside: boolean;
  readonly facets: Readonly<Record<string, readonly string[]>>;
  readonly from: string | null;
  readonly until: string | null;
  readonly after: string | null;
  readonly limit: number;
}

export interface FoundFrames {
  /** Newest first. */
  readonly frames: readonly FrameCard[];
  readonly next: string | null;
  /** Only with the first page: how many there are, how many of them the filters leave, how many lie aside. */
  readonly counted: {
    readonly shown: NonNullable<Found["counted"]>;
    readonly all: NonNullable<Found["counted"]>;
    readonly aside: number;
  } | null;
}

/** The frames that somebody may look at and looks for, page by page, and how many of them the filters hide. */
export async function foundFrames(desk: Desk, actor: Actor, wanted: FramesWanted): Promise<FoundFrames> {
  const { text, aside, limit, after } = wanted;
  const where = {
    ...(wanted.requestId !== null && { request: [wanted.requestId] }),
    ...(wanted.visitId !== null && { visit: [wanted.visitId] }),
  };
  const kind = aside ? "trash" : "frame";
  const page = await find(desk, actor, {
    ...{ kind, text, limit, after },
    facets: { ...wanted.facets, ...where },
    from: wanted.from,
    until: wanted.until,
  });
  const everything = { text, facets: where, from: null, until: null, after: null, limit: 1 };
  const isFirst = after === null && page.counted !== null;
  const all = isFirst ? await find(desk, actor, { kind, ...everything }) : null;
  const put = isFirst && !aside ? await find(desk, actor, { kind: "trash", ...everything }) : null;
  return {
    frames: await cardsOf(
      desk,
      actor,
      page.rows.map(({ id }) => id),
    ),
    next: page.next,
    counted:
      isFirst && all?.counted
        ? { shown: page.counted, all: all.counted, aside: put?.counted?.matches ?? page.counted.matches }
        : null,
  };
}

/** In the order of the ids; those that they may not look at are left out. */
export async function cardsOf(desk: Desk, actor: Actor, ids: readonly string[]): Promise<FrameCard[]> {
  if (ids.length === 0) return [];
  const { read, clock } = desk.library;
  const rows = await read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .leftJoin("request", "request.id", "frame.request_id")
    .leftJoin("visit", "visit.id", "frame.visit_id")
    .select(["frame.id", "frame.kind", "frame.taken_at", "frame.placing", "frame.sensitive"])
    .select(["frame.trashed_because", "file.sha256", "file.name", "file.format", "file.kind as fileKind"])
    .select(["request.code", "request.details", "request.sensitive as ofRequest"])
    .select(["visit.id as visitId", "visit.date"])
    .where("frame.id", "in", ids)
    .where((is) => is.or([is("file.kind", "is", null), is("file.kind", "=", "video")]))
    .where(seenFrames(actor, clock().toISOString()))
    .execute();
  type Row = (typeof rows)[number];
  // One row per frame: the JPEG where there is one, a video only where there is no picture.
  const rank = ({ fileKind, format }: Row) => (fileKind === "video" ? 2 : format === "jpeg" ? 0 : 1);
  const best = new Map<string, Row>();
  for (const row of rows) {
    const known = best.get(row.id);
    if (!known || rank(row) < rank(known)) best.set(row.id, row);
  }
  const newest = async <Body>(table: "verdict" | "reading" | "measurement"): Promise<Map<string, Body>> => {
    const found = await read
      .selectFrom(table)
      .select(["frame_id", "body"])
      .where("frame_id", "in", ids)
      .orderBy("id")
      .execute();
    const last = new Map(found.map((row) => [row.frame_id ?? "", row.body]));
    return new Map([...last].map(([id, body]) => [id, JSON.parse(body) as Body]));
  };
  const verdicts = await newest<KeptVerdict>("verdict");
  const readings = await newest<ScaleAnswer>("reading");
  const measurements = await newest<MeasureAnswer>("measurement");
  return ids.flatMap((id) => {
    const row = best.get(id);
    if (!row) return [];
    const verdict = verdicts.get(id) ?? null;
    const reading = readings.get(id) ?? null;
    return {
      frameId: id,
      sha256: row.sha256,
      name: row.name,
      kind: row.fileKind === "video" ? "video" : row.kind,
      takenAt: row.taken_at,
      request: row.code === null ? null : { code: row.code, title: titleIn(row.details) },
      visit: row.visitId === null ? null : { id: row.visitId, date: row.date },
      view: verdict?.view && verdict.viewName ? { key: verdict.view, name: verdict.viewName } : null,
      verdict: verdict?.verdict ?? null,
      say: verdict?.say ?? (row.code === null ? row.placing : ""),
      isByHand: verdict?.byHand !== undefined,
      note: verdict?.note?.text ?? null,
      ratioPlanned: verdict?.ratioPlanned ?? null,
      ratioRead: reading?.found ? reading.reproductionRatio : null,
      leanDeg: reading?.found ? (reading.plane?.tiltDeg ?? null) : null,
      areaMm2: areaOf(measurements.get(id) ?? null),
      sensitive: [...new Set([...sensitiveOf(row.sensitive), ...sensitiveOf(row.ofRequest)])],
      asideBecause: row.trashed_because,
    };
  });
}

function titleIn(details: string | null): string {
  const said = JSON.parse(details ?? "{}") as Partial<RequestDetails>;
  return titleOf({ ...said, parts: said.parts ?? [] } as RequestDetails);
}

/** Regions of one picture share its scale, so their intervals are added, not combined as independent. */
function areaOf(measurement: MeasureAnswer | null): Measured | null {
  const areas = measurement?.regions.map(({ areaMm2 }) => areaMm2) ?? [];
  if (areas.length === 0) return null;
  return { value: areas.reduce((s, a) => s + a.value, 0), u95: areas.reduce((s, a) => s + a.u95, 0) };
}
