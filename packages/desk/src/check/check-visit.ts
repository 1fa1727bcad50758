import type { PicturePool, ScaleAnswer } from "@samescale/picture";
import {
  assignViews,
  judgeFrame,
  type Observation,
  type Plan,
  type PlannedView,
  type Tolerances,
  type Verdict,
} from "@samescale/practice";
import type { Actor } from "../act/actor.ts";
import { doneOrThrow } from "../act/outcome.ts";
import { storeReading, storeVerdict } from "../derivatives/store-derivative.ts";
import type { Desk } from "../desk.ts";
import { framesOfVisit, type LookedAtFrame } from "../look/frames-of-visit.ts";
import { readingOf } from "./reading-of.ts";
import { scalesDisagree } from "./scales-agree.ts";

/** A frame laid against its planned view. */
export interface JudgedFrame extends LookedAtFrame {
  readonly planned: PlannedView | null;
  readonly scale: ScaleAnswer;
  readonly verdict: Verdict | null;
}

/** The same with its reading kept. */
export interface CheckedFrame extends JudgedFrame {
  /** What later derivatives name as their input. */
  readonly readingSha256: string;
}

export interface CheckedVisit {
  readonly frames: readonly CheckedFrame[];
  /** Views of the plan that no frame shows. */
  readonly missing: readonly PlannedView[];
}

/** Raised when a verdict would come out differently for the same reading. */
const CHECK_RECIPE = { step: "check", version: 2 } as const;

interface VisitToCheck {
  readonly visitId: string;
  readonly plan: Plan;
  readonly tolerances: Tolerances;
}

/**
 * Reads and looks at every frame of a visit, lays the frames along the plan, judges each as at the bedside and keeps
 * readings and verdicts. A frame whose file cannot be read is an error of the whole check: originals were verified at intake.
 */
export async function checkVisit(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  visit: VisitToCheck,
  signal?: AbortSignal,
): Promise<CheckedVisit> {
  const { frames, missing } = await judgeVisit(desk, actor, pool, visit, signal);
  const checked: CheckedFrame[] = [];
  for (const frame of frames) {
    const { scale, planned, verdict } = frame;
    const recipe = scale.found ? scale.recipe : { step: "scale", version: 0, parameters: {} };
    const { file: _, ...body } = scale; // where it lay while it was read says nothing
    const stored = doneOrThrow(
      await storeReading(desk, actor, { frameId: frame.frameId, recipe, inputs: [frame.sha256], body }),
    );
    if (planned !== null && verdict !== null) {
      await keepVerdict(desk, actor, { frame, planned, verdict, readingSha256: stored.sha256 });
    }
    checked.push({ ...frame, readingSha256: stored.sha256 });
  }
  return { frames: checked, missing };
}

/** The same without keeping anything: looking is not an act. */
export async function judgeVisit(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  visit: VisitToCheck,
  signal?: AbortSignal,
): Promise<{ readonly frames: readonly JudgedFrame[]; readonly missing: readonly PlannedView[] }> {
  const frames = await framesOfVisit(desk, actor, visit.visitId);
  const read = await Promise.all(
    frames.map(async (frame) => {
      const file = await desk.library.originals.localFile(frame.sha256);
      // The sensor: for frames that do not say theirs.
      return await pool.run("bedside", { file, usualSensorMm: visit.plan.body.sensor }, signal);
    }),
  );
  const { viewOfFrame, missing } = assignViews(
    read.map(({ scale }) => ({
      magnificationRead: scale.found ? (scale.reproductionRatio?.value ?? null) : null,
      orientation: scale.heightPx > scale.widthPx ? "portrait" : "landscape",
    })),
    visit.plan.views,
  );
  const judged = frames.map((frame, i): JudgedFrame => {
    const { scale, look } = read[i]!;
    const planned = viewOfFrame[i] === null ? null : (visit.plan.views[viewOfFrame[i]!] ?? null);
    if (planned === null) return { ...frame, planned, scale, verdict: null };
    const verdict = judgeFrame({
      planned,
      seen: { reading: readingOf(scale), look, observations: observationsOf(scale, planned) },
      tolerances: visit.tolerances,
      series: visit.plan.purpose === "series",
    });
    return { ...frame, planned, scale, verdict };
  });
  return { frames: judged, missing: missing.map((v) => visit.plan.views[v]!) };
}

/** What two scales in one picture say of each other. */
function observationsOf(scale: ScaleAnswer, planned: PlannedView): readonly Observation[] {
  const disagree = scale.found ? scalesDisagree(scale, planned.objectDistanceMm) : null;
  return disagree === null ? [] : [{ what: "scale-plane", by: "two-scales", heightMm: disagree.heightMm }];
}

/** Keeps a verdict; the newest of a frame counts. */
export async function keepVerdict(
  desk: Desk,
  actor: Actor,
  judged: {
    readonly frame: LookedAtFrame;
    readonly planned: PlannedView;
    readonly verdict: Verdict;
    readonly readingSha256: string;
  },
): Promise<void> {
  const { frame, planned, verdict, readingSha256 } = judged;
  doneOrThrow(
    await storeVerdict(desk, actor, {
      frameId: frame.frameId,
      recipe: { ...CHECK_RECIPE, parameters: { view: planned.view.key } },
      inputs: [readingSha256],
      body: {
        ...verdict,
        view: planned.view.key,
        viewName: planned.view.name,
        ratioPlanned: planned.magnification,
      },
    }),
  );
}
