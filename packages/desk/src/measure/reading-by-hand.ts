import type { KnownScale, PicturePool, ScaleAnswer, ScaleInput } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import { storeReading } from "../derivatives/store-derivative.ts";
import type { Desk } from "../desk.ts";
import { type LookedAtFrame, lookedAt } from "../look/frames-of-visit.ts";
import { planOfRequest } from "../look/plan-of-request.ts";

/** What a person says of the scale in a picture; nothing: it is read as at the check. */
export type ScaleSaid = Pick<
  ScaleInput,
  "near" | "twoPoints" | "kind" | "material" | "scaleId" | "scaleHeightMm"
>;

export interface FrameReadByHand {
  readonly frame: LookedAtFrame;
  readonly scale: ScaleAnswer;
}

/**
 * Reads the scale of one frame as a person asks for it, and keeps nothing. Null where there is no such frame that they
 * may look at.
 * @param calibrations the department's measured scales
 */
export async function readByHand(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  asked: {
    readonly frameId: string;
    readonly said: ScaleSaid;
    readonly calibrations: readonly KnownScale[];
  },
  signal?: AbortSignal,
): Promise<FrameReadByHand | null> {
  const frame = await lookedAt(desk, actor, asked.frameId);
  if (!frame) return null;
  const file = await desk.library.originals.localFile(frame.sha256);
  const row = await desk.library.read
    .selectFrom("frame")
    .select("request_id")
    .where("id", "=", asked.frameId)
    .executeTakeFirst();
  const plan = row?.request_id ? await planOfRequest(desk, actor, row.request_id) : null;
  const scale = await pool.run(
    "scale",
    {
      file,
      ...asked.said,
      ...(plan && { usualSensorMm: plan.body.sensor }),
      ...(asked.calibrations.length > 0 && { calibrations: asked.calibrations }),
    },
    signal,
  );
  return { frame, scale: { ...scale, file: frame.name } };
}

/** The same, and keeps it: the newest reading of a frame counts. */
export async function keepReadingByHand(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  asked: Parameters<typeof readByHand>[3],
  signal?: AbortSignal,
): Promise<(FrameReadByHand & { readonly readingSha256: string }) | null> {
  const read = await readByHand(desk, actor, pool, asked, signal);
  if (!read) return null;
  const { file: _, ...body } = read.scale; // where it lay while it was read says nothing
  const recipe = read.scale.found ? read.scale.recipe : { step: "scale", version: 0, parameters: {} };
  const stored = doneOrThrow(
    await storeReading(desk, actor, {
      frameId: read.frame.frameId,
      recipe: { ...recipe, parameters: { ...recipe.parameters, by: actor.name } },
      inputs: [read.frame.sha256],
      body,
    }),
  );
  return { ...read, readingSha256: stored.sha256 };
}
