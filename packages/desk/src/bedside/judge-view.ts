import type { AlignAnswer, ColourAnswer, KnownScale, PicturePool, ScaleInput } from "@samescale/picture";
import { judgeFrame, type Tolerances, type Verdict } from "@samescale/practice";
import type { BaselineFrame } from "./baselines.ts";
import { type Expected, type SeenFrame, seeFrame, seenAgainst } from "./see-frame.ts";
import type { WatchedView } from "./watched-view.ts";

/** What frames are judged against. */
export interface WatchPlan {
  /** Null: one stated ratio, no request. */
  readonly requestCode: string | null;
  readonly views: readonly WatchedView[];
  readonly series: boolean;
  readonly tolerances: Tolerances;
  readonly baselines: ReadonlyMap<string, BaselineFrame>;
  readonly calibrations: readonly KnownScale[];
  /** How the sensor's size is told to the reading. */
  readonly sensor: Pick<ScaleInput, "sensorWidthMm" | "usualSensorMm">;
}

/** One picture that is known to be of this view, judged as the watch judges it. */
export async function judgePicture(
  pool: PicturePool,
  file: string,
  view: WatchedView,
  plan: WatchPlan,
  signal: AbortSignal,
): Promise<{ readonly verdict: Verdict; readonly seen: SeenFrame }> {
  const [seen, looked] = await Promise.all([
    seeFrame(pool, file, { ...plan.sensor, calibrations: plan.calibrations }, signal),
    lookBeside(pool, file, view, plan, signal),
  ]);
  return { verdict: judgedView(seen, view, plan, looked), seen };
}

export interface LookedBeside {
  readonly chart: ColourAnswer | null;
  readonly aligned: AlignAnswer | null;
}

/** What one view wants beside scale and look: its chart, and the comparison with its baseline. */
export async function lookBeside(
  pool: PicturePool,
  file: string,
  { view }: WatchedView,
  plan: WatchPlan,
  signal: AbortSignal,
): Promise<LookedBeside> {
  const baseline = plan.baselines.get(view.key) ?? null;
  // What cannot be compared is said as not judged: the frame itself has been read.
  const orNull = () => null;
  const [chart, aligned] = await Promise.all([
    view.chart === "in-frame" ? pool.run("colour", { file }, signal).catch(orNull) : null,
    baseline
      ? pool
          .run(
            "align",
            {
              baseline: baseline.file,
              followup: file,
              quick: true,
              scales: { baseline: baseline.scale, followup: null },
            },
            signal,
          )
          .catch(orNull)
      : null,
  ]);
  return { chart, aligned };
}

export function judgedView(
  seen: SeenFrame,
  planned: WatchedView,
  plan: WatchPlan,
  looked: LookedBeside,
): Verdict {
  const expected: Expected = {
    objectDistanceMm: planned.objectDistanceMm,
    chart: planned.view.chart === "in-frame",
    mirrored: planned.view.mirrored,
    baseline: plan.baselines.get(planned.view.key) ?? null,
  };
  return judgeFrame({
    planned,
    seen: seenAgainst(seen, expected, looked.chart, looked.aligned),
    tolerances: plan.tolerances,
    series: plan.series,
  });
}
