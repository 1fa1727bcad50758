import { SamescaleError } from "@samescale/errors";
import type {
  MeasureAnswer,
  OutlineRegion,
  OutlineStep,
  OwnRepeats,
  PartSaid,
  PicturePool,
  ScaleAnswer,
  XY,
} from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow, type Outcome } from "../act/outcome.ts";
import { storeMeasurement, storeOutline } from "../derivatives/store-derivative.ts";
import type { Desk } from "../desk.ts";
import type { LookedAtFrame } from "../look/frames-of-visit.ts";
import { edgeDoubt } from "./edge-doubt.ts";

/** A person's clicks, in pixels of the upright picture. */
export interface Clicks {
  readonly inside: readonly XY[];
  readonly outside: readonly XY[];
  /** Taken after the clicks, in this order: whatever else they did with the tools. */
  readonly steps?: readonly OutlineStep[];
}

/** What counts beside outline and reading. */
interface MeasuredWith {
  /** What the department's own repeated outlines say of its edges. */
  readonly ownRepeats?: OwnRepeats | null;
  /** What the person says of the part: a limb, curved. */
  readonly said?: PartSaid;
}

export interface MeasuredFrame {
  readonly regions: readonly OutlineRegion[];
  readonly outlineSha256: string;
  readonly measurement: MeasureAnswer;
  readonly measurementSha256: string;
}

/**
 * Proposes the outline from a person's clicks, keeps it, measures by the reading, keeps that. An outline whose edge is too
 * soft is kept and not measured: a person has to draw it.
 */
export async function measureFrame(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  work: {
    readonly frame: LookedAtFrame;
    readonly clicks: Clicks;
    readonly scale: ScaleAnswer;
    readonly readingSha256: string;
    /** Outlined once more by somebody who did not see the outlines before. */
    readonly isBlindRepeat?: boolean;
  } & MeasuredWith,
  signal?: AbortSignal,
): Promise<Outcome<MeasuredFrame>> {
  const file = await desk.library.originals.localFile(work.frame.sha256);
  const proposed = await pool.run("outline", { file, ...work.clicks }, signal);
  if (proposed.regions.length === 0 || !proposed.recipe) {
    return { done: false, reason: `No outline: ${proposed.reason ?? "none was proposed"}` };
  }
  const outline = doneOrThrow(
    await storeOutline(desk, actor, {
      frameId: work.frame.frameId,
      recipe: {
        ...proposed.recipe,
        parameters: {
          ...proposed.recipe.parameters,
          clicks: work.clicks,
          by: actor.name,
          ...(work.isBlindRepeat && { isBlindRepeat: true }),
        },
      },
      inputs: [work.frame.sha256],
      body: { regions: proposed.regions, warnings: proposed.warnings ?? [] },
    }),
  );
  // Who drew the edge by hand answered the question already.
  const isDrawn = work.clicks.steps?.some((step) => step.do === "draw") ?? false;
  const doubt = isDrawn ? null : edgeDoubt(proposed.regions);
  if (doubt !== null) return { done: false, reason: doubt };
  return await measureRegions(
    desk,
    actor,
    pool,
    { ...work, regions: proposed.regions, outlineSha256: outline.sha256 },
    signal,
  );
}

/** An outline that cannot be measured is drawn again by a person; the other frames of the day go on. */
function notThisOutline(thrown: unknown): { readonly reason: string } {
  if (thrown instanceof SamescaleError && thrown.code === "OUTLINE_CANNOT_BE_MEASURED") {
    return { reason: `${thrown.message}. ${thrown.help}` };
  }
  throw thrown;
}

/** Measures regions that are kept already, by a reading; again when the reading was corrected, or repeats tell more. */
export async function measureRegions(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  work: {
    readonly frame: LookedAtFrame;
    readonly regions: readonly OutlineRegion[];
    readonly outlineSha256: string;
    readonly scale: ScaleAnswer;
    readonly readingSha256: string;
  } & MeasuredWith,
  signal?: AbortSignal,
): Promise<Outcome<MeasuredFrame>> {
  const file = await desk.library.originals.localFile(work.frame.sha256);
  const { regions: outline, scale, ownRepeats, said } = work;
  const answer = await pool
    .run(
      "measure",
      { file, outline, scale, ...(ownRepeats && { ownRepeats }), ...(said && { said }) },
      signal,
    )
    .catch(notThisOutline);
  if (!("method" in answer)) return { done: false, reason: answer.reason };
  const { file: _, ...body } = answer; // where it lay while it was measured says nothing
  const stored = doneOrThrow(
    await storeMeasurement(desk, actor, {
      frameId: work.frame.frameId,
      recipe: answer.recipe,
      inputs: [work.frame.sha256, work.readingSha256, work.outlineSha256],
      body,
    }),
  );
  return {
    done: true,
    value: {
      regions: work.regions,
      outlineSha256: work.outlineSha256,
      measurement: answer,
      measurementSha256: stored.sha256,
    },
  };
}
