import { moveBackMm } from "@samescale/optics";
import { sayMove } from "../words.ts";
import type { Observation } from "./frame-seen.ts";
import { FINE, type Judged, type Judgement, type Judging, judged, notJudged } from "./judgement.ts";

/** Ratio: a fault counts when it lies beyond the tolerance by more than the reading's own uncertainty. */
export function judgeRatio({ planned, seen: { reading }, tolerances, series }: Judging): Judged {
  if (planned.view.scale === "none") return notJudged("ratio and lean: this view is made without a scale");
  if (reading.reproductionRatio === null) {
    return notJudged(`ratio: ${reading.notFoundReason ?? "the width of the sensor is not known"}`);
  }
  const { value, u95 } = reading.reproductionRatio;
  const off = Math.abs(value / planned.magnification - 1);
  const allowed = (series ? tolerances.seriesRatioPercent : tolerances.ratioPercent) / 100;
  if (off <= allowed) return FINE;
  const moveMm = moveBackMm(planned.focalMm, value, planned.magnification);
  return judged({
    finding: { what: "ratio", planned: planned.magnification, read: value, moveMm },
    weighs: off - u95 / planned.magnification > allowed ? "repeat" : "your-choice",
    say: sayMove(moveMm),
  });
}

/** Lean of the camera and the plane of the scale: two scales at different heights look like a lean. */
export function judgeLean(judging: Judging): Judged {
  const { planned, seen, tolerances } = judging;
  const heights = (seen.observations ?? []).filter(
    ({ heightMm }) => Math.abs(heightMm.value) > tolerances.scaleHeightMm,
  );
  const lean = leanOf(judging, heights.length > 0);
  const notSeen =
    seen.reading.leanDeg === null && planned.view.scale !== "none" && seen.reading.reproductionRatio !== null
      ? ["lean: one straight edge does not show it"]
      : [];
  const [height] = heights;
  if (!height) return { judgements: lean, notJudged: notSeen };
  const plane: Judgement = {
    finding: { what: "scale-plane", heightMm: height.heightMm.value },
    weighs: "repeat",
    say: sayHeight(height, lean[0]),
  };
  return { judgements: [plane, ...lean], notJudged: notSeen };
}

function leanOf({ seen: { reading }, tolerances }: Judging, scalesDisagree: boolean): Judgement[] {
  const { leanDeg, recedesDeg = null } = reading;
  if (leanDeg === null || leanDeg.value <= tolerances.leanDeg) return [];
  return [
    {
      finding: { what: "lean", deg: leanDeg.value, recedesDeg },
      // Which of the two it is, only who stands there sees.
      weighs: leanDeg.value - leanDeg.u95 > tolerances.leanDeg && !scalesDisagree ? "repeat" : "your-choice",
      say: saySwing(leanDeg.value, recedesDeg),
    },
  ];
}

/** Under this a part of a lean is not worth a word: 20° to the left and 2° up are 20° to the left. */
const LEAST_PART = 0.25;

/** Where the subject recedes to the right, the camera stands too far left. */
function saySwing(deg: number, recedesDeg: number | null): string {
  if (recedesDeg === null) return `Bring the camera square to the skin, it leans ${Math.round(deg)}°`;
  const [x, y] = [Math.cos((recedesDeg * Math.PI) / 180), Math.sin((recedesDeg * Math.PI) / 180)];
  const parts = [
    Math.abs(x) >= LEAST_PART ? `${Math.round(deg * Math.abs(x))}° to the ${x > 0 ? "right" : "left"}` : null,
    Math.abs(y) >= LEAST_PART
      ? `${Math.round(deg * Math.abs(y))}° towards the picture's ${y > 0 ? "bottom" : "top"}`
      : null,
  ].filter((part) => part !== null);
  return `Swing the camera round the subject by ${parts.join(" and ")}, aiming at the same spot`;
}

function sayHeight({ by, heightMm }: Observation, lean: Judgement | undefined): string {
  const height = `${Math.round(Math.abs(heightMm.value))} mm`;
  if (by === "series") {
    return `Lay the scale level with the skin: it is ${height} ${heightMm.value > 0 ? "above" : "below"} it`;
  }
  const deg = lean?.finding.what === "lean" ? Math.round(lean.finding.deg) : null;
  const square = deg === null ? "square the camera" : `square the camera, it would lean ${deg}°`;
  return `The scales disagree: lay both level with the skin, one seems ${height} higher, or ${square}`;
}
