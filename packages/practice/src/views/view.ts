import { parseRatio } from "@samescale/optics";
import { z } from "zod";
import { cautions } from "../cautions.ts";
import { FIGURE_NAMES } from "../figures/catalogue.ts";
import { typed } from "../read/typed.ts";
import type { Origin } from "./honesty.ts";

const key = z.string().regex(/^[a-z0-9-]{1,40}$/, "expected small letters, digits and hyphens, 40 at most");
/** What is printed and shown in terminals holds nothing that moves a cursor or turns the direction of reading. */
const plain = z.string().regex(/^[^\p{Cc}\p{Cf}]*$/u, "holds control characters");
const text = (most: number) => plain.min(1).max(most);
const note = (most: number) => plain.max(most).default("");

/** As a person writes it, `1:10`; kept as magnification (0.1). */
const ratio = typed(parseRatio).refine(
  (magnification) => magnification >= 0.005 && magnification <= 5,
  "expected 1:200 to 5:1",
);

export const SIDES = ["left", "right", "both", "none", "either"] as const;
export const SCALE_KINDS = ["none", "straight", "L", "label", "marker"] as const;
export const MIRRORS = ["none", "floor", "hand", "occlusal", "buccal", "lingual"] as const;
export const REFERENCE_LINES = [
  "none",
  "frankfort-horizontal",
  "natural-head-position",
  "interpupillary-level",
  "occlusal-plane-level",
] as const;

/** One standard picture, as the department lays it down. */
export const viewSchema = z.strictObject({
  /** Stable name within its set, such as "close-up". */
  key,
  name: text(80),
  part: text(80),
  /** "either": the request says which. */
  side: z.enum(SIDES),
  aspect: text(60),
  /** The line figure that stands for it on a shot card; left out: the picture's edge alone. */
  figure: z.enum(FIGURE_NAMES, "no figure has this name; docs/practice.md lists them").optional(),
  orientation: z.enum(["landscape", "portrait"]),
  /** On 36 x 24 mm; what a smaller sensor keeps, `onSmallerSensor` says. */
  ratio,
  onSmallerSensor: z.enum(["same-field", "same-ratio"]),
  /** How the patient stands, sits or lies. */
  position: text(240),
  /** Natural head position and the Frankfort horizontal are different lines: a view names one. */
  referenceLine: z.enum(REFERENCE_LINES),
  cameraHeight: text(120),
  cameraAngle: text(120),
  /** What has to stand at the edges or in the middle of the frame. */
  landmarks: z.array(text(120)).max(8),
  /** "clinical": twice the sensor's diagonal where space allows, never a wide lens. "room": what the room asks for. */
  lens: z.enum(["clinical", "portrait", "room"]),
  fNumber: z.number().min(0.7).max(90).optional(),
  /** Depth of the subject that is to be sharp. */
  depthMm: z.number().min(0.1).max(5000).optional(),
  /** How far the subject reaches in depth: what perspective changes between lenses. */
  reliefMm: z.number().min(0).max(3000).default(0),
  /** Through how many borders of the frame the subject may run: 0 whole, 1 a hand, 2 a limb; left out: not looked at. */
  bordersCrossed: z.number().int().min(0).max(4).optional(),
  /** One of the department's light set-ups. */
  light: key,
  backdrop: text(80),
  scale: z.enum(SCALE_KINDS),
  /** Where it lies, and in which plane. */
  scaleWhere: note(160),
  scalePlane: note(160),
  mirror: z.enum(MIRRORS),
  chart: z.enum(["none", "in-frame", "own-frame"]),
  /** The same view made once more with or without its scale. */
  pairOf: key.optional(),
  hands: note(160),
  jewellery: note(160),
  cautions: z.array(z.enum(Object.keys(cautions) as [keyof typeof cautions])),
  chaperone: z.enum(["offer", "not-needed"]),
  /** A person can be recognised in it. */
  identifiable: z.boolean(),
  /** A person's part of the session, without setting up. */
  minutes: z.number().min(0.2).max(60),
  instructions: note(400),
});

type Checked = z.output<typeof viewSchema>;

/** A view as the rest of the program sees it: the ratio as magnification, each value's origin known. */
export interface View extends Omit<Checked, "ratio"> {
  /** On 36 x 24 mm: 0.25 for 1:4. */
  readonly magnification: number;
  /** Made through a mirror: left and right are changed over until the view is turned back. */
  readonly mirrored: boolean;
  /** By field, and under "otherwise" for all that are not named. "view": that this view belongs to the set. */
  readonly origins: Readonly<Record<string, Origin>> & { readonly otherwise: Origin };
}

/** The fields whose origin can be named. */
export const FIELDS_WITH_ORIGIN = ["view", "otherwise", ...Object.keys(viewSchema.shape)] as const;

/** Where the value of a field comes from. */
export const originOf = (view: View, field: string): Origin => view.origins[field] ?? view.origins.otherwise;

/** What cannot be true together, each with the field that a person would change. */
export function contradictionsOf(view: Checked): { readonly field: keyof Checked; readonly says: string }[] {
  const found: { field: keyof Checked; says: string }[] = [];
  const say = (field: keyof Checked, says: string) => found.push({ field, says });
  if (view.fNumber === undefined && view.depthMm === undefined) {
    say("fNumber", "a view needs an f-number, or the depth that is to be sharp");
  }
  if (view.fNumber !== undefined && view.depthMm !== undefined) {
    say("depthMm", "an f-number and a depth are both given: leave one out");
  }
  if (view.scale === "none" && (view.scaleWhere !== "" || view.scalePlane !== "")) {
    say("scale", "a place for the scale is given, and no scale");
  }
  if (view.scale !== "none" && (view.scaleWhere === "" || view.scalePlane === "")) {
    say(view.scaleWhere === "" ? "scaleWhere" : "scalePlane", "a scale needs its place and its plane");
  }
  if (view.pairOf === view.key) say("pairOf", "a view is not its own pair");
  return found;
}

export function viewFrom(checked: Checked, origins: View["origins"]): View {
  const { ratio: magnification, ...rest } = checked;
  return { ...rest, magnification, mirrored: checked.mirror !== "none", origins };
}
