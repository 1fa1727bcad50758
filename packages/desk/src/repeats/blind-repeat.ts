import type { PartSaid, PicturePool, ScaleAnswer } from "@samescale/picture";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Outcome } from "../act/outcome.ts";
import type { Desk } from "../desk.ts";
import { type LookedAtFrame, lookedAt } from "../look/frames-of-visit.ts";
import { type Clicks, type MeasuredFrame, measureFrame } from "../measure/measure-frame.ts";
import { type KeptOutline, keptOutlines } from "./kept-outlines.ts";

/** Who outlined a picture has to forget it first; common practice, no source. */
const REST_DAYS = 7;
const DAY_MS = 86_400_000;

/** A picture to be outlined once more: nothing of the earlier outlines comes with it. */
export interface PictureToRepeat {
  readonly frame: LookedAtFrame;
  readonly scale: ScaleAnswer;
  readonly readingSha256: string;
}

/**
 * Which picture this person should outline once more: outlined by somebody before, not by this person within the last
 * week, the one this person repeated least, by lot among equals.
 * @param random in [0, 1)
 */
export async function pictureToRepeat(
  desk: Desk,
  actor: Actor,
  random: () => number,
): Promise<Outcome<PictureToRepeat>> {
  const open = await openToRepeat(desk, actor);
  if (!open.done) return open;
  const fewest = Math.min(...open.value.map(([, times]) => times));
  const least = open.value.filter(([, times]) => times === fewest);
  const [frameId] = least[Math.floor(random() * least.length)]!;
  return await toRepeat(desk, actor, frameId);
}

/** Whether this person may still outline this very picture unseen; what was chosen for them a while ago. */
export async function pictureStillToRepeat(
  desk: Desk,
  actor: Actor,
  frameId: string,
): Promise<Outcome<PictureToRepeat>> {
  const open = await openToRepeat(desk, actor);
  if (!open.done) return open;
  if (open.value.some(([id]) => id === frameId)) return await toRepeat(desk, actor, frameId);
  return {
    done: false,
    reason: `It cannot be outlined unseen: nobody outlined it before, or you did within the last ${REST_DAYS} days`,
  };
}

/** Frames that this person may outline unseen, and how often they did. */
async function openToRepeat(
  desk: Desk,
  actor: Actor,
): Promise<Outcome<readonly (readonly [frameId: string, times: number])[]>> {
  if (!PHOTOGRAPHERS.includes(actor.role)) {
    return { done: false, reason: `outline again: not for the role ${actor.role}` };
  }
  const now = desk.library.clock().getTime();
  const ofFrames = [...Map.groupBy(await keptOutlines(desk), (outline) => outline.frameId).entries()];
  const own = (outlines: readonly KeptOutline[]) => outlines.filter((o) => o.person === actor.name);
  const rested = ofFrames.filter(([, outlines]) =>
    own(outlines).every((o) => now - Date.parse(o.madeAt) >= REST_DAYS * DAY_MS),
  );
  if (rested.length > 0) {
    return {
      done: true,
      value: rested.map(([frameId, outlines]) => [frameId, own(outlines).length] as const),
    };
  }
  const reason =
    ofFrames.length === 0
      ? "No picture was outlined and measured yet"
      : `You outlined every picture within the last ${REST_DAYS} days: come back when you have forgotten them`;
  return { done: false, reason };
}

async function toRepeat(desk: Desk, actor: Actor, frameId: string): Promise<Outcome<PictureToRepeat>> {
  const reading = await desk.library.read
    .selectFrom("reading")
    .select(["sha256", "body"])
    .where("frame_id", "=", frameId)
    .orderBy("made_at", "desc")
    .orderBy("id", "desc")
    .executeTakeFirst();
  const frame = await lookedAt(desk, actor, frameId);
  if (!reading || !frame) return { done: false, reason: `Of the picture ${frameId} no reading is kept` };
  const scale = { ...JSON.parse(reading.body), file: frame.name } as ScaleAnswer;
  return { done: true, value: { frame, scale, readingSha256: reading.sha256 } };
}

/** Keeps what the person outlined now beside what was outlined before, and measures it by the same reading. */
export async function outlineAgain(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  again: PictureToRepeat & {
    readonly clicks: Clicks;
    readonly said?: PartSaid;
    readonly seenAreaMm2?: number;
  },
  signal?: AbortSignal,
): Promise<Outcome<MeasuredFrame>> {
  return await measureFrame(desk, actor, pool, { ...again, isBlindRepeat: true }, signal);
}
