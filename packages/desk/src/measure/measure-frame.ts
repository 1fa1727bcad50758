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

/** The pixels are the same wherever it is outlined; what differs by more was made from something else. */
const SAME_AREA = 0.005;

/**
 * Proposes the outline from a person's clicks, measures it by the reading, keeps both. An outline whose edge is too soft is kept
 * and not measured: a person has to draw it. One that is not what the person saw is not kept.
 *
 * @throws SamescaleError OUTLINE_DIFFERS
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
    /** What the person saw it measure before they kept it; left out: they saw nothing. */
    readonly seenAreaMm2?: number;
  } & MeasuredWith,
  signal?: AbortSignal,
): Promise<Outcome<MeasuredFrame>> {
  const file = await desk.library.originals.localFile(work.frame.sha256);
  const proposed = await pool.run("outline", { file, ...work.clicks }, signal);
  if (proposed.regions.length === 0 || !proposed.recipe) {
    return { done: false, reason: `No outline: ${proposed.reason ?? "none was proposed"}` };
  }
  const { regions } = proposed;
  // Who drew the edge by hand answered the question already.
  const isDrawn = work.clicks.steps?.some((step) => step.do === "draw") ?? false;
  const doubt = isDrawn ? null : edgeDoubt(regions);
  const measured: Outcome<MeasureAnswer> =
    doubt === null ? await measure(desk, pool, { ...work, regions }, signal) : { done: false, reason: doubt };
  if (measured.done) mustBeAsSeen(measured.value, work.seenAreaMm2);
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
      body: { regions, warnings: proposed.warnings ?? [] },
    }),
  );
  if (!measured.done) return measured;
  return await keep(desk, actor, { ...work, regions, outlineSha256: outline.sha256 }, measured.value);
}

function mustBeAsSeen({ regions }: MeasureAnswer, seenMm2: number | undefined): void {
  const areaMm2 = regions.reduce((sum, region) => sum + region.areaMm2.value, 0);
  if (seenMm2 === undefined || Math.abs(areaMm2 / seenMm2 - 1) <= SAME_AREA) return;
  throw new SamescaleError(
    "OUTLINE_DIFFERS",
    `Measured here it would be ${areaMm2.toFixed(1)} mm², what you saw measured ${seenMm2.toFixed(1)} mm²`,
    "Nothing was kept. Open the picture again and outline it anew; if it happens again, please report it.",
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
  const measured = await measure(desk, pool, work, signal);
  return measured.done ? await keep(desk, actor, work, measured.value) : measured;
}

async function measure(
  desk: Desk,
  pool: PicturePool,
  work: {
    readonly frame: LookedAtFrame;
    readonly regions: readonly OutlineRegion[];
    readonly scale: ScaleAnswer;
  } & MeasuredWith,
  signal?: AbortSignal,
): Promise<Outcome<MeasureAnswer>> {
  const file = await desk.library.originals.localFile(work.frame.sha256);
  const { regions: outline, scale, ownRepeats, said } = work;
  const answer = await pool
    .run(
      "measure",
      { file, outline, scale, ...(ownRepeats && { ownRepeats }), ...(said && { said }) },
      signal,
    )
    .catch(notThisOutline);
  return "method" in answer ? { done: true, value: answer } : { done: false, reason: answer.reason };
}

async function keep(
  desk: Desk,
  actor: Actor,
  work: Pick<MeasuredFrame, "regions" | "outlineSha256"> & {
    readonly frame: LookedAtFrame;
    readonly readingSha256: string;
  },
  answer: MeasureAnswer,
): Promise<Outcome<MeasuredFrame>> {
  const { file: _, ...body } = answer; // where it lay while it was measured says nothing
  const stored = doneOrThrow(
    await storeMeasurement(desk, actor, {
      frameId: work.frame.frameId,
      recipe: answer.recipe,
      inputs: [work.frame.sha256, work.readingSha256, work.outlineSha256],
      body,
    }),
  );
  const { regions, outlineSha256 } = work;
  return {
    done: true,
    value: { regions, outlineSha256, measurement: answer, measurementSha256: stored.sha256 },
  };
}
