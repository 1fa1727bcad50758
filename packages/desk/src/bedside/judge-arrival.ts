import { basename } from "node:path";
import type { PicturePool } from "@samescale/picture";
import type { Finding, Verdict } from "@samescale/practice";
import type { ArrivedFrame } from "../watch/folder-event.ts";
import { judgedView, lookBeside, type WatchPlan } from "./judge-view.ts";
import { seeFrame } from "./see-frame.ts";
import type { BedsideSession } from "./session.ts";

/** What is said of one frame. */
export interface ArrivalJudged {
  readonly file: string;
  readonly verdict: Verdict["verdict"];
  readonly say: string;
  /** Key of the view; null: a label, or none that fits. */
  readonly view: string | null;
  readonly viewName: string | null;
  readonly findings: readonly Finding[];
  readonly notJudged: readonly string[];
  /** The request's code where the frame shows a label of ours. */
  readonly label: string | null;
}

/** Finds out which view a frame of the session shows, and judges it by that. */
export async function judgeArrival(
  frame: ArrivedFrame,
  session: BedsideSession,
  pool: PicturePool,
  plan: WatchPlan,
  signal: AbortSignal,
): Promise<ArrivalJudged> {
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
