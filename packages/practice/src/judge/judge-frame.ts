import type { Finding, Judgement, Judging } from "./judgement.ts";
import {
  judgeBackdrop,
  judgeChart,
  judgeExposure,
  judgeFocus,
  judgeFraming,
  judgeLight,
  judgeMirrored,
  judgeRoll,
} from "./showing.ts";
import { judgeLean, judgeRatio } from "./standing.ts";

export interface Verdict {
  readonly verdict: "keep" | "repeat" | "your-choice" | "not-judged";
  /** One sentence for the hand. */
  readonly say: string;
  /** Most important first. */
  readonly findings: readonly Finding[];
  /** What the picture did not tell, with why. */
  readonly notJudged: readonly string[];
}

/** In the order of importance: what no later step can mend comes first. */
const JUDGES = [
  judgeFocus,
  judgeRatio,
  judgeLean,
  judgeExposure,
  judgeFraming,
  judgeMirrored,
  judgeChart,
  judgeLight,
  judgeRoll,
  judgeBackdrop,
] as const;

/**
 * Judges one frame against its planned view. A fault counts only when it lies beyond the tolerance by more than the
 * reading's own uncertainty; within the grey band the choice is the photographer's. What could not be judged is
 * listed, never passed over. One sentence says what to do about the most important fault.
 */
export function judgeFrame(judging: Judging): Verdict {
  const answers = JUDGES.map((judge) => judge(judging));
  const notJudged = answers.flatMap((answer) => answer.notJudged);
  // What has to be done again comes before what may be left.
  const judgements = answers
    .flatMap((answer) => answer.judgements)
    .toSorted((a, b) => WEIGHTS.indexOf(a.weighs) - WEIGHTS.indexOf(b.weighs));
  const findings = judgements.map(({ finding }) => finding);
  const [first, ...others] = judgements;
  if (first && first.weighs !== "note") {
    return { verdict: first.weighs, say: sentence(first, others), findings, notJudged };
  }
  return { ...unfaulted(judging, notJudged), findings, notJudged };
}

const WEIGHTS = ["repeat", "your-choice", "note"] as const;

/** Two moves of one hand are one sentence: back and round. */
function sentence(first: Judgement, others: readonly Judgement[]): string {
  const lean = others.find(({ finding }) => finding.what === "lean");
  if (first.finding.what !== "ratio" || !lean) return `${first.say}.`;
  return `${first.say}, and ${lean.say[0]!.toLowerCase()}${lean.say.slice(1)}.`;
}

/** Nothing strays: whether enough was judged to say keep. */
function unfaulted(
  { planned: { view }, seen: { reading, look } }: Judging,
  notJudged: readonly string[],
): Pick<Verdict, "verdict" | "say"> {
  const unsharp = look && !look.focus.subject.judged;
  if (view.scale === "none") {
    if (!look) return { verdict: "not-judged", say: "Kept as it is: there is no scale to judge it by." };
    return unsharp
      ? { verdict: "your-choice", say: "Look at the sharpness yourself: nothing in it tells." }
      : { verdict: "keep", say: "Keep: it is sharp; without a scale the ratio is not judged." };
  }
  if (reading.reproductionRatio === null) {
    return { verdict: "your-choice", say: `Look yourself: ${notJudged.join("; ")}.` };
  }
  return unsharp
    ? { verdict: "keep", say: "Keep: the ratio is as planned; look at the sharpness yourself." }
    : { verdict: "keep", say: "Keep: the ratio is as planned." };
}
