import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type ActContext, defineAct } from "../act/define-act.ts";
import { jsonText } from "../act/json.ts";
import { type PictureBody, writePictures } from "../derive/keep-pictures.ts";
import { visitFor } from "../visits/visit-for.ts";
import { clockFlag, clockState, dayOf } from "./camera-clock.ts";
import {
  type CardFrameFile,
  type CardFrames,
  cardFrames,
  knownCodes,
  type PlacedFrame,
} from "./card-frames.ts";
import type { MatchOptions } from "./match.ts";
import type { MayBeErased } from "./may-be-erased.ts";

export interface IntakeToFinish {
  readonly intakeId: string;
  readonly files: readonly CardFrameFile[];
  /** Files that may be pictures and could not be had. */
  readonly gaps: readonly string[];
  /** Thumbnails and previews in the store of derived pictures, by their original. */
  readonly pictures: ReadonlyMap<string, readonly PictureBody[]>;
  readonly erase: MayBeErased;
  readonly match?: MatchOptions;
}

/** Makes the card's frames, places those whose patient is certain, and closes the intake: all of it or nothing. */
export const finishIntake = defineAct<IntakeToFinish, null>({
  name: "intake.finish",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run({ intakeId, files, gaps, pictures, erase, match }, context) {
    const { writing, tables, now } = context;
    const intake = await tables
      .selectFrom("intake")
      .select("finished_at")
      .where("id", "=", intakeId)
      .executeTakeFirstOrThrow();
    if (intake.finished_at !== null) return { value: null, deed: null }; // another run of the same card was faster
    const texts = files.flatMap((file) => file.understood.codes ?? []);
    const current = await withFrames(context, files);
    const frames = cardFrames(current, gaps, await knownCodes(tables, texts), match);
    for (const frame of frames.fresh) await writeFrame(context, intakeId, frame, pictures);
    for (const { file, frameId } of frames.joining) await assign(context, file, frameId);
    await writing.update("intake", intakeId, { finished_at: now });
    const details = { ...counts(frames), cardMayBeErased: erase.may, why: erase.why };
    return { value: null, deed: { act: "intake.finish", subject: `intake/${intakeId}`, details } };
  },
});

/** Another card with the same pictures may have been finished since they were looked at. */
async function withFrames({ tables }: ActContext, files: readonly CardFrameFile[]): Promise<CardFrameFile[]> {
  const current: CardFrameFile[] = [];
  for (const file of files) {
    const row = await tables
      .selectFrom("file")
      .select("frame_id")
      .where("sha256", "=", file.sha256)
      .executeTakeFirstOrThrow();
    current.push({ ...file, frameId: row.frame_id });
  }
  return current;
}

function counts({ fresh, joining }: CardFrames) {
  const placed = fresh.filter((frame) => frame.placing.requestId !== null).length;
  return { frames: fresh.length, placed, unplaced: fresh.length - placed, joined: joining.length };
}

async function writeFrame(
  context: ActContext,
  intakeId: string,
  frame: PlacedFrame,
  pictures: IntakeToFinish["pictures"],
): Promise<void> {
  const { writing, newId, now } = context;
  const { exposure, position, takenRaw, takenCamera, codes, placing } = frame;
  const { requestId } = placing;
  const clock = clockState(takenRaw, takenCamera, new Date(now));
  const day = dayOf(takenCamera, clock);
  const visit = requestId === null ? null : await visitFor(context, { requestId, day, intakeId });
  const id = newId();
  await writing.insert("frame", {
    id,
    intake_id: intakeId,
    folder: exposure.folder,
    name: exposure.name,
    position,
    kind: placing.isLabel ? "label" : "picture",
    taken_raw: takenRaw,
    taken_camera: takenCamera,
    taken_at: takenCamera,
    clock,
    codes: codes && jsonText(codes),
    request_id: requestId,
    visit_id: visit?.id ?? null,
    placed_by: requestId === null ? null : "label",
    placing: placing.because,
    flags: jsonText([clockFlag(clock, takenRaw), visit?.flag, ...frame.flags].filter((flag) => flag)),
  });
  for (const file of exposure.files) {
    await assign(context, file, id);
    await writePictures(context, id, file.sha256, pictures.get(file.sha256) ?? []);
  }
}

/** The path in the originals store is left out: a library may be moved. */
async function assign({ writing }: ActContext, file: CardFrameFile, frameId: string): Promise<void> {
  const info = file.understood.info && jsonText({ ...file.understood.info, file: undefined });
  await writing.update("file", file.sha256, { frame_id: frameId, info });
}
