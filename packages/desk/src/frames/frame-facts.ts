import type { InfoAnswer, ScaleAnswer } from "@samescale/picture";
import { CONSENT_SCOPES, type ConsentScope, isPublication } from "@samescale/practice";
import { seenFrames } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import { consentForUse } from "../consent/consent-for-use.ts";
import type { Desk } from "../desk.ts";
import { cardsOf, type FrameCard } from "./found-frames.ts";
import type { KeptVerdict } from "./judge-by-hand.ts";

/** All that is said of one frame beside its picture. */
export interface FrameFacts extends FrameCard {
  readonly folder: string;
  /** What the camera's clock said, and what was added to it. */
  readonly clock: {
    readonly cameraSaid: string | null;
    readonly offsetS: number | null;
    readonly because: string | null;
    readonly state: string;
  };
  /** What the file says of itself: nobody vouches for it. */
  readonly fileSays: Pick<
    InfoAnswer,
    | "make"
    | "model"
    | "lens"
    | "focalMm"
    | "fNumber"
    | "exposureS"
    | "iso"
    | "flashFired"
    | "widthPx"
    | "heightPx"
  > | null;
  readonly placing: string;
  readonly flags: readonly string[];
  readonly notJudged: readonly string[];
  readonly checkSaid: string | null;
  readonly byHand: { readonly by: string; readonly at: string } | null;
  readonly noteBy: { readonly by: string; readonly at: string } | null;
  /** Why no ratio is known; null: it is. */
  readonly noRatio: string | null;
  readonly outlines: number;
  /** For this very picture, now; a publication counts where some answer names one. */
  readonly consent: readonly { readonly scope: ConsentScope; readonly covered: boolean }[];
}

/** Null: there is no such frame that they may look at. */
export async function frameFacts(desk: Desk, actor: Actor, frameId: string): Promise<FrameFacts | null> {
  const { read, clock } = desk.library;
  const now = clock().toISOString();
  const [card] = await cardsOf(desk, actor, [frameId]);
  const row = await read
    .selectFrom("frame")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .select(["frame.folder", "frame.taken_camera", "frame.clock", "frame.placing", "frame.flags"])
    .select(["frame.request_id", "intake.clock_offset_s", "intake.clock_because"])
    .where("frame.id", "=", frameId)
    .where(seenFrames(actor, now))
    .executeTakeFirst();
  if (!card || !row) return null;
  const newest = async (table: "verdict" | "reading") =>
    await read
      .selectFrom(table)
      .select("body")
      .where("frame_id", "=", frameId)
      .orderBy("id", "desc")
      .executeTakeFirst();
  const verdict = await newest("verdict");
  const said = verdict ? (JSON.parse(verdict.body) as KeptVerdict) : null;
  const reading = await newest("reading");
  const file = await read
    .selectFrom("file")
    .select("info")
    .where("sha256", "=", card.sha256)
    .executeTakeFirst();
  const outlines = await read.selectFrom("outline").select("id").where("frame_id", "=", frameId).execute();
  return {
    ...card,
    folder: row.folder,
    clock: {
      cameraSaid: row.taken_camera,
      offsetS: row.clock_offset_s,
      because: row.clock_because,
      state: row.clock,
    },
    fileSays: file?.info ? saidBy(JSON.parse(file.info) as InfoAnswer) : null,
    placing: row.placing,
    flags: JSON.parse(row.flags) as string[],
    notJudged: said?.notJudged ?? [],
    checkSaid: said?.byHand?.checkSaid ?? null,
    byHand: said?.byHand ?? null,
    noteBy: said?.note ?? null,
    noRatio: whyNoRatio(reading ? (JSON.parse(reading.body) as ScaleAnswer) : null),
    outlines: outlines.length,
    consent: row.request_id === null ? [] : await reachOf(desk, row.request_id, frameId, now),
  };
}

function saidBy(info: InfoAnswer): FrameFacts["fileSays"] {
  const { make, model, lens, focalMm, fNumber, exposureS, iso, flashFired, widthPx, heightPx } = info;
  return { make, model, lens, focalMm, fNumber, exposureS, iso, flashFired, widthPx, heightPx };
}

function whyNoRatio(reading: ScaleAnswer | null): string | null {
  if (reading === null) return "Nobody looked for a scale in it yet";
  if (!reading.found) return reading.reason;
  return reading.reproductionRatio === null
    ? (reading.ratioFrom ?? "The size of the sensor is not known")
    : null;
}

async function reachOf({ library }: Desk, requestId: string, frameId: string, at: string) {
  const named = await library.read
    .selectFrom("consent")
    .select(["scope", "publication"])
    .where("publication", "is not", null)
    .where((is) =>
      is.or([
        is("request_id", "=", requestId),
        is(
          "patient_id",
          "=",
          is.selectFrom("request").select("request.patient_id").where("request.id", "=", requestId),
        ),
      ]),
    )
    .execute();
  const reach: FrameFacts["consent"][number][] = [];
  for (const scope of CONSENT_SCOPES) {
    const publications = isPublication(scope)
      ? [...new Set(named.filter((row) => row.scope === scope).map((row) => row.publication))]
      : [null];
    let covered = false;
    for (const publication of publications) {
      covered ||= (await consentForUse(library.read, { scope, at, requestId, frameId, publication })).covered;
    }
    reach.push({ scope, covered });
  }
  return reach;
}
