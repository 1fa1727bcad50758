import { imagePoint, localScalePxPerMm } from "@samescale/geometry";
import type { ScaleAnswer } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { cardsOf, type FrameCard } from "./found-frames.ts";

/** A frame beside others, and how long one of its pixels is on the subject; null: its scale was not read. */
export interface ComparedFrame {
  readonly card: FrameCard;
  readonly mmPerPx: number | null;
}

/** Frames to be looked at side by side at one scale; those that they may not look at are left out. */
export async function comparedFrames(
  desk: Desk,
  actor: Actor,
  ids: readonly string[],
): Promise<ComparedFrame[]> {
  const compared: ComparedFrame[] = [];
  for (const card of await cardsOf(desk, actor, ids)) {
    const row = await desk.library.read
      .selectFrom("reading")
      .select("body")
      .where("frame_id", "=", card.frameId)
      .orderBy("id", "desc")
      .executeTakeFirst();
    compared.push({ card, mmPerPx: row ? mmPerPxIn(JSON.parse(row.body) as ScaleAnswer) : null });
  }
  return compared;
}

/** In the middle of the picture where its plane is known, else at the scale. */
export function mmPerPxIn(reading: ScaleAnswer): number | null {
  if (!reading.found) return null;
  const { plane, scales, widthPx, heightPx } = reading;
  if (plane) return 1 / localScalePxPerMm(plane.homographyPxToMm, imagePoint(widthPx / 2, heightPx / 2)).mean;
  return scales[0] ? 1 / scales[0].pxPerMm.value : null;
}
