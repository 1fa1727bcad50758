import { FIGURES, type FigureName } from "../figures/catalogue.ts";
import { extentOf, type Stroke, turnOver } from "../figures/pen.ts";

/**
 * Our own plain outlines of a body on which a requester marks the feature: front, back, head, hands and feet. Each is
 * one of the figures of the shot cards, so that the mark and the view speak of the same drawing.
 */
const CHARTS = {
  front: { figure: "full-length-front", words: "front" },
  back: { figure: "full-length-back", words: "back" },
  "head-front": { figure: "head-front", words: "face" },
  "head-back": { figure: "head-back", words: "back of the head" },
  "head-right": { figure: "head-side", words: "right side of the head" },
  "head-left": { figure: "head-side", turned: true, words: "left side of the head" },
  "right-hand-back": { figure: "hand-dorsal", words: "back of the right hand" },
  "left-hand-back": { figure: "hand-dorsal", turned: true, words: "back of the left hand" },
  "right-palm": { figure: "hand-palmar", words: "right palm" },
  "left-palm": { figure: "hand-palmar", turned: true, words: "left palm" },
  "right-foot-top": { figure: "foot-dorsal", words: "top of the right foot" },
  "left-foot-top": { figure: "foot-dorsal", turned: true, words: "top of the left foot" },
  "right-sole": { figure: "foot-plantar", words: "right sole" },
  "left-sole": { figure: "foot-plantar", turned: true, words: "left sole" },
} as const satisfies Record<string, { figure: FigureName; turned?: true; words: string }>;

export type BodyChartName = keyof typeof CHARTS;
export const BODY_CHART_NAMES = Object.keys(CHARTS) as [BodyChartName, ...BodyChartName[]];

export interface BodyMark {
  readonly chart: BodyChartName;
  /** Fractions of the drawing's box, from its left and its top. */
  readonly x: number;
  readonly y: number;
}

/** A chart ready to be drawn: strokes in millimetres of the body, and the box that a mark's fractions refer to. */
export interface BodyChart {
  readonly name: BodyChartName;
  readonly words: string;
  readonly box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  readonly strokes: readonly Stroke[];
}

const drawn = new Map<BodyChartName, BodyChart>();

export function bodyChart(name: BodyChartName): BodyChart {
  const known = drawn.get(name) ?? draw(name);
  drawn.set(name, known);
  return known;
}

function draw(name: BodyChartName): BodyChart {
  const chart: { figure: FigureName; turned?: true; words: string } = CHARTS[name];
  const { strokes } = FIGURES[chart.figure];
  const turned = chart.turned ? turnOver(strokes) : strokes;
  return { name, words: chart.words, box: extentOf(turned), strokes: turned };
}

/**
 * Where a mark lies, in words: "left lower leg, from the front". Left and right are the patient's own. A mark beside
 * the body is said to be that. The zones follow our own drawing (crown at 0, soles at 1800 mm).
 */
export function sayMark(mark: BodyMark): string {
  const { box, words } = bodyChart(mark.chart);
  if (mark.chart !== "front" && mark.chart !== "back") {
    if (mark.chart !== "head-front" && mark.chart !== "head-back") return words;
    const side = sideOf(mark.chart === "head-back", mark.x - 0.5, 0.06);
    return side === "" ? `${words}, middle` : `${words}, ${side.trim()} side`;
  }
  const isBack = mark.chart === "back";
  const x = box.x + mark.x * box.width;
  const y = box.y + mark.y * box.height;
  const zone = zoneAt(Math.abs(x), y, isBack);
  if (zone === null) return `beside the body, seen from the ${words}`;
  const side = sideOf(isBack, x, zone.paired ? 0 : MIDDLE_MM);
  return `${side}${zone.name}, from the ${words}`;
}

const MIDDLE_MM = 25;

function sideOf(isBack: boolean, x: number, middle: number): string {
  if (Math.abs(x) <= middle) return "";
  return x < 0 === isBack ? "left " : "right ";
}

interface Zone {
  readonly name: string;
  readonly paired: boolean;
}

function zoneAt(across: number, y: number, isBack: boolean): Zone | null {
  const outline = OUTER.find(([untilY]) => y <= untilY);
  if (!outline || across > outline[1]) return null;
  const paired = (name: string): Zone => ({ name, paired: true });
  if (y > 345 && across > armBeginsAt(y)) {
    if (y < 600) return paired("upper arm");
    if (y < 690) return paired("elbow");
    return y < 860 ? paired("forearm") : paired("hand");
  }
  if (y < 222) return { name: "head", paired: false };
  if (y < 290 && across < 62) return { name: "neck", paired: false };
  if (y < 345 && across >= 62) return paired("shoulder");
  if (y < 560) return { name: isBack ? "upper back" : "chest", paired: false };
  if (y < 800) return { name: isBack ? "lower back" : "abdomen", paired: false };
  if (y < 950) return isBack ? paired("buttock") : { name: "groin", paired: false };
  if (y < 1235) return paired("thigh");
  if (y < 1330) return paired(isBack ? "back of the knee" : "knee");
  if (y < 1690) return paired("lower leg");
  return paired(isBack ? "heel" : "foot");
}

/** The drawing's edge with a finger's breadth of grace: until this height, so far from the midline. */
const OUTER: readonly (readonly [untilY: number, mm: number])[] = [
  [222, 105],
  [290, 190],
  [345, 235],
  [600, 285],
  [860, 350],
  [1030, 370],
  [1330, 200],
  [1690, 175],
  [1815, 150],
];

/** The inner edge of the arm beside the trunk, in the drawing. */
const armBeginsAt = (y: number): number => (y < 440 ? 172 : 172 + ((y - 440) * 100) / 420);
