import type { MeasureAnswer, OutlineRegion, OwnRepeats, ScaleAnswer } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { cardsOf, type FrameCard } from "../frames/found-frames.ts";
import { departmentRepeats } from "../repeats/kept-outlines.ts";

/** An outline on record, and what was measured with it. */
export interface OutlineOnRecord {
  readonly sha256: string;
  readonly by: string | null;
  /** ISO 8601 UTC. */
  readonly madeAt: string;
  readonly isBlindRepeat: boolean;
  readonly regions: readonly OutlineRegion[];
  /** By the newest reading that it was measured with; null: kept and not measured. */
  readonly measurement: Omit<MeasureAnswer, "file"> | null;
}

/** One frame, as somebody measures in it. */
export interface FrameAtMeasure {
  readonly frame: FrameCard;
  /** The newest, which counts; null: nobody read the scale yet. */
  readonly reading: {
    readonly sha256: string;
    readonly scale: ScaleAnswer;
    /** The interval holds another unit as well: a person has to say which it is. */
    readonly isUnitUnsure: boolean;
  } | null;
  /** Newest first; none of them while it is outlined unseen. */
  readonly outlines: readonly OutlineOnRecord[];
  /** What the department's repeats say of its edges; null: too few of them yet. */
  readonly ownRepeats: OwnRepeats | null;
}

/** A doubt about the unit widens the interval to hold the other; a clear reading is better than this by far. */
const UNIT_UNSURE_U95 = 0.05;

/** Null: there is no such picture that they may look at. @param isBlind nothing of the outlines before comes with it */
export async function frameAtMeasure(
  desk: Desk,
  actor: Actor,
  { frameId, isBlind }: { readonly frameId: string; readonly isBlind: boolean },
): Promise<FrameAtMeasure | null> {
  const [frame] = await cardsOf(desk, actor, [frameId]);
  if (frame?.kind === "video" || !frame) return null;
  const row = await desk.library.read
    .selectFrom("reading")
    .select(["sha256", "body"])
    .where("frame_id", "=", frameId)
    .orderBy("made_at", "desc")
    .orderBy("id", "desc")
    .executeTakeFirst();
  const scale = row ? ({ ...JSON.parse(row.body), file: frame.name } as ScaleAnswer) : null;
  return {
    frame: isBlind ? { ...frame, areaMm2: null } : frame,
    reading: row && scale ? { sha256: row.sha256, scale, isUnitUnsure: isUnitUnsure(scale) } : null,
    outlines: isBlind ? [] : await outlinesOnRecord(desk, frameId),
    ownRepeats: await departmentRepeats(desk),
  };
}

export const isUnitUnsure = (scale: ScaleAnswer): boolean =>
  scale.found && scale.scales.some(({ pxPerMm }) => pxPerMm.u95 > UNIT_UNSURE_U95 * pxPerMm.value);

/** Of a frame that they may look at, newest first. */
export async function outlinesOnRecord({ library }: Desk, frameId: string): Promise<OutlineOnRecord[]> {
  const rowsOf = async (kind: "outline" | "measurement") =>
    await library.read
      .selectFrom(kind)
      .select(["sha256", "recipe", "inputs", "body", "made_at"])
      .where("frame_id", "=", frameId)
      .orderBy("made_at", "desc")
      .orderBy("id", "desc")
      .execute();
  const measurements = await rowsOf("measurement");
  return (await rowsOf("outline")).map(({ sha256, recipe, body, made_at }) => {
    const { parameters } = JSON.parse(recipe) as { parameters: { by?: string; isBlindRepeat?: true } };
    const measured = measurements.find(({ inputs }) => (JSON.parse(inputs) as string[]).includes(sha256));
    return {
      sha256,
      by: parameters.by ?? null,
      madeAt: made_at,
      isBlindRepeat: parameters.isBlindRepeat === true,
      regions: (JSON.parse(body) as { regions: OutlineRegion[] }).regions,
      measurement: measured ? (JSON.parse(measured.body) as MeasureAnswer) : null,
    };
  });
}
