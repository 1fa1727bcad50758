import { basename } from "node:path";
import type { ErrorReport } from "@samescale/errors";
import type { AlignAnswer, ColourAnswer, KnownScale, PicturePool, ScaleInput } from "@samescale/picture";
import { type Finding, judgeFrame, type Tolerances, type Verdict } from "@samescale/practice";
import type { ArrivedFrame, FolderEvent } from "../watch/folder-event.ts";
import { judgeFolder } from "../watch/judge-folder.ts";
import type { BaselineFrame } from "./baselines.ts";
import { type Expected, type SeenFrame, seeFrame, seenAgainst } from "./see-frame.ts";
import { BedsideSession } from "./session.ts";
import type { WatchedView } from "./watched-view.ts";

/** What a folder is watched against. */
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

/** One line of the watch, as the contract has it, with what is still missing. */
export interface WatchedFrame {
  readonly file: string;
  readonly verdict: Verdict["verdict"];
  readonly say: string;
  /** Key of the view; null: a label, or none that fits. */
  readonly view: string | null;
  readonly viewName: string | null;
  readonly findings: readonly Finding[];
  readonly notJudged: readonly string[];
  /** From the last change of the file to the verdict. */
  readonly seconds: number;
  /** The request's code where the frame shows a label of ours. */
  readonly label: string | null;
  /** Views of the plan that no frame shows which may stay. */
  readonly missing: readonly string[];
}

export type WatchLine =
  | WatchedFrame
  | { readonly file: string; readonly error: ErrorReport; readonly seconds: number }
  | { readonly folder: string; readonly state: "gone" | "denied" | "back"; readonly say: string }
  | { readonly file: string; readonly ignored: string };

/**
 * Follows a folder and judges each frame as it is complete, the newest first. Nothing is written: the frames become
 * part of the record when the card is taken in.
 *
 * @throws SamescaleError when the folder cannot be followed at all
 */
export async function* watchFolder(
  folder: string,
  pool: PicturePool,
  plan: WatchPlan,
  options: { readonly once?: boolean; readonly signal?: AbortSignal },
): AsyncGenerator<WatchLine> {
  const session = new BedsideSession(plan.views, plan.requestCode);
  const events = judgeFolder<Omit<WatchedFrame, "seconds" | "missing">>(folder, {
    ...options,
    workers: pool.threads,
    judge: (frame, signal) => judgeArrival(frame, session, pool, plan, signal),
  });
  for await (const event of events) {
    switch (event.kind) {
      case "judged":
        yield { ...event.verdict, seconds: rounded(event.seconds), missing: session.missing };
        break;
      case "failed":
        yield { file: event.frame.judgedFile, error: event.error, seconds: rounded(event.seconds) };
        break;
      case "removed":
        session.remove(event.id);
        break;
      case "unreadable":
        yield { file: event.file, error: event.error, seconds: 0 };
        break;
      case "ignored":
        yield { file: event.file, ignored: event.why };
        break;
      case "folder":
        yield { folder: event.folder, state: event.state, say: FOLDER_WORDS[event.state] };
        break;
    }
  }
}

const FOLDER_WORDS: Readonly<Record<Extract<FolderEvent, { kind: "folder" }>["state"], string>> = {
  gone: "The folder is not there any more: look at the cable or the network. The watch goes on when it is back.",
  denied: "The folder may not be read any more: look at its permissions. The watch goes on when it may.",
  back: "The folder is back.",
};

const rounded = (seconds: number): number => Math.round(seconds * 100) / 100;

async function judgeArrival(
  frame: ArrivedFrame,
  session: BedsideSession,
  pool: PicturePool,
  plan: WatchPlan,
  signal: AbortSignal,
): Promise<Omit<WatchedFrame, "seconds" | "missing">> {
  const file = frame.judgedFile;
  // What the next view asks for is begun at once; if it was another view, its own is done after.
  const guess = session.next;
  const beside = guess ? lookBeside(pool, file, guess, plan, signal) : null;
  beside?.catch(() => {}); // awaited below, or not wanted any more
  const seen = await seeFrame(pool, file, { ...plan.sensor, calibrations: plan.calibrations }, signal);
  const order = {
    takenAt: seen.takenAt,
    writtenMs: frame.files[0]?.mtimeMs ?? Number.POSITIVE_INFINITY,
    arrivedMs: frame.completeAtMs,
    name: basename(file),
  };
  const standing = session.add(frame.id, order, seen);
  const cut = frame.endsWhole ? [] : ["the file's end: it stopped growing without it"];
  const none = { file, view: null, viewName: null, findings: [], label: null };
  if (standing.kind === "label") {
    const { label, ours } = standing;
    if (label === "broken") {
      return {
        ...none,
        verdict: "repeat",
        say: "Photograph the label again: its code cannot be read whole.",
        notJudged: [],
      };
    }
    const code = label.requestCode;
    return ours
      ? { ...none, verdict: "keep", say: `Keep: the label of ${code} is seen.`, label: code, notJudged: [] }
      : {
          ...none,
          verdict: "repeat",
          say: `Stop: this is the label of ${code}, and ${plan.requestCode} is being made.`,
          label: code,
          notJudged: [],
        };
  }
  if (standing.kind === "stranger") {
    const say = `Not judged: it follows the label of ${standing.requestCode}, not of ${plan.requestCode}.`;
    return { ...none, verdict: "not-judged", say, notJudged: ["everything: another request's frame"] };
  }
  if (standing.kind === "no-view") {
    const say = "Look yourself: it fits no view of the plan.";
    const verdict: Verdict = {
      verdict: "your-choice",
      say,
      findings: [],
      notJudged: ["ratio: no view to compare with"],
    };
    session.judged(frame.id, verdict);
    return { ...none, ...verdict, notJudged: [...verdict.notJudged, ...standing.notes, ...cut] };
  }
  const { planned } = standing;
  const looked = await (planned === guess ? beside! : lookBeside(pool, file, planned, plan, signal));
  const verdict = judgedView(seen, planned, plan, looked);
  session.judged(frame.id, verdict);
  return {
    ...none,
    ...verdict,
    view: planned.view.key,
    viewName: planned.view.name,
    notJudged: [...verdict.notJudged, ...standing.notes, ...cut],
  };
}

interface LookedBeside {
  readonly chart: ColourAnswer | null;
  readonly aligned: AlignAnswer | null;
}

/** What one view wants beside scale and look: its chart, and the comparison with its baseline. */
async function lookBeside(
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

function judgedView(seen: SeenFrame, planned: WatchedView, plan: WatchPlan, looked: LookedBeside): Verdict {
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
