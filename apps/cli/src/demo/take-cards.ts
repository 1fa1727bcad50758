import {
  type Actor,
  correctClock,
  type Desk,
  doneOrThrow,
  placeFrames,
  suspectClocks,
  takeIn,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import type { SecondPlace } from "@samescale/practice";
import type { DemoManifest, MadeCard } from "@samescale/simulator";
import type { DemoJob } from "./department.ts";

/** What taking the cards in brought to light. */
export interface CardFindings {
  readonly stored: number;
  readonly cardsMayBeErased: boolean;
  /** File names of frames that no label frame placed. */
  readonly unplaced: readonly string[];
  readonly clocks: readonly { readonly card: string; readonly aheadS: number }[];
}

/** What was watched at the bedside lies on a card as well. */
export const everyCard = ({ cards, session }: DemoManifest): readonly MadeCard[] =>
  session === null ? cards : [...cards, session];

/** Takes the cards in, tells which clock runs wrong and which frames nobody claimed, and has a person put both right. */
export async function takeCards(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  manifest: DemoManifest,
  jobs: readonly DemoJob[],
  secondPlace: SecondPlace,
  signal: AbortSignal,
): Promise<CardFindings> {
  let stored = 0;
  let cardsMayBeErased = true;
  for (const card of everyCard(manifest)) {
    for await (const line of takeIn({
      desk,
      actor,
      cards: [card.path],
      secondPlace,
      pictures: pool,
      signal,
    })) {
      if ("summary" in line) {
        stored += line.summary.stored;
        cardsMayBeErased &&= line.summary.cardMayBeErased;
      } else if ("error" in line && line.error) {
        throw new SamescaleError(line.error.code, line.error.message, line.error.help);
      }
    }
  }
  const clocks = await putClocksRight(desk, actor, manifest);
  const unplaced = await placeUnclaimed(desk, actor, manifest, jobs);
  return { stored, cardsMayBeErased, unplaced, clocks };
}

async function putClocksRight(
  desk: Desk,
  actor: Actor,
  manifest: DemoManifest,
): Promise<CardFindings["clocks"]> {
  const found: { card: string; aheadS: number }[] = [];
  for (const suspect of await suspectClocks(desk, actor)) {
    // The hint comes from the appointment book; the correction from somebody who compared camera and wall clock.
    const card = manifest.cards.find(({ path }) => suspect.cardPath.endsWith(path.slice(-"CARD-X".length)));
    if (!card) continue;
    found.push({ card: card.key, aheadS: suspect.aheadS });
    const because = "camera's clock compared with the clinic's wall clock after the list";
    doneOrThrow(
      await correctClock(desk, actor, { intakeId: suspect.intakeId, offsetS: -card.clockOffsetS, because }),
    );
  }
  return found;
}

async function placeUnclaimed(
  desk: Desk,
  actor: Actor,
  manifest: DemoManifest,
  jobs: readonly DemoJob[],
): Promise<readonly string[]> {
  const waiting = await desk.library.read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .select(["frame.id", "file.name"])
    .where("frame.request_id", "is", null)
    .where("file.kind", "is", null)
    .orderBy("frame.position")
    .execute();
  const frames = everyCard(manifest).flatMap((card) => card.frames);
  for (const { id, name } of waiting) {
    const frame = frames.find(({ fileName }) => fileName === name);
    const job = jobs.find(({ code }) => code === frame?.requestCode);
    if (!frame || !job) continue;
    const visitId = job.visits.get(frame.visitDate);
    const because = "the photographer's day sheet and the wristband in the orientation view agree";
    doneOrThrow(
      await placeFrames(desk, actor, {
        frameIds: [id],
        requestId: job.requestId,
        ...(visitId !== undefined && { visitId }),
        because,
      }),
    );
  }
  return waiting.map(({ name }) => name);
}
