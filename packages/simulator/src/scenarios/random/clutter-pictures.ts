import type { Shot } from "../../render/render-picture.ts";
import type { Thing } from "../../scene/scene.ts";
import { anyCamera, anyConditions, anyFrame } from "./any-camera.ts";
import { type Draw, drawFrom } from "./draw.ts";
import { anySurroundings } from "./surroundings.ts";

/** One picture without a scale, but with something that repeats. */
export interface ClutterPicture {
  readonly shot: Shot;
  readonly facts: ClutterFacts;
}

export interface ClutterFacts {
  readonly kind: ClutterKind;
  readonly leanDeg: number;
  /** Distance of the repeats at the picture's middle. */
  readonly pitchPx: number;
}

const PATTERNS = [
  "chessboard",
  "squares",
  "webbing",
  "corrugated",
  "keyboard",
  "comb",
  "text",
  "weave",
  "stripes",
  "zip",
  "fence",
  "brickwork",
  "slats",
  "dial",
] as const;
const CODES = ["qr", "datamatrix", "code128", "pdf417", "aztec"] as const;
const KINDS = [...PATTERNS, ...CODES, "skin", "hairs"] as const;
type ClutterKind = (typeof KINDS)[number];

const PITCH_PX = [2.5, 60] as const;
/** Of the things that are met: a thread to a pale. */
const PX_PER_MM = [1, 40] as const;

/** The picture of that seed: something that repeats, anywhere, held anyhow. Same seed, same picture. */
export function clutterPicture(seed: number): ClutterPicture {
  const draw = drawFrom(seed);
  const kind = draw.pick(KINDS);
  const frame = anyFrame(draw);
  const conditions = anyConditions(draw).filter((c) => c !== "curved limb");
  const pxPerMm = draw.octaves(...PX_PER_MM);
  const pitchPx = draw.octaves(...PITCH_PX);
  const fieldMm = frame.widthPx / pxPerMm;
  const pitchMm = pitchPx / pxPerMm;
  const surroundings = anySurroundings(draw, seed, fieldMm);
  const camera = anyCamera(draw, { frame, pxPerMm, pitchMm, lengthMm: 0.5 * fieldMm, conditions });
  const things = [...surroundings.things, ...clutter(draw, kind, pitchMm, fieldMm, seed)];
  return {
    shot: { scene: { ...surroundings, things }, camera, seed },
    facts: { kind, leanDeg: Math.hypot(camera.leanXDeg, camera.leanYDeg), pitchPx },
  };
}

function clutter(draw: Draw, kind: ClutterKind, pitchMm: number, fieldMm: number, seed: number): Thing[] {
  const placement = {
    xMm: draw.between(-0.15, 0.15) * fieldMm,
    yMm: draw.between(-0.1, 0.1) * fieldMm,
    rotateDeg: draw.chance(0.5) ? draw.pick([0, 90]) + draw.between(-8, 8) : draw.between(0, 360),
  };
  const share = draw.between(0.3, 0.9);
  const widthMm = share * fieldMm;
  const heightMm = widthMm * draw.between(0.15, 0.7);
  if (kind === "skin") return [];
  if (kind === "hairs") {
    const count = Math.round(draw.between(60, 300));
    return [{ kind, placement, widthMm, heightMm, count, seed }];
  }
  if (isCode(kind)) {
    // Its modules have the pitch drawn; a code of some forty modules fills the width then.
    const side = Math.min(0.8 * fieldMm, 40 * pitchMm);
    const flat = kind === "code128" || kind === "pdf417";
    const size = flat ? { widthMm: 1.6 * side, heightMm: 0.4 * side } : { widthMm: side };
    const text = `SN-${String(seed).padStart(8, "0")}${draw.chance(0.5) ? "-CLINICAL-PHOTOGRAPHY" : ""}`;
    return [
      {
        kind: "card",
        placement,
        widthMm: (flat ? 1.6 : 1) * side + 14,
        heightMm: (flat ? 0.6 : 1) * side + 14,
        lines: [],
        code: { format: kind, text, ...size },
        seed,
      },
    ];
  }
  // No more than some three hundred repeats: the thing is smaller than the picture then.
  const most = 300 * pitchMm;
  return [
    {
      kind: "pattern",
      pattern: kind,
      placement,
      pitchMm,
      widthMm: Math.max(12 * pitchMm, Math.min(widthMm, most)),
      heightMm: Math.max(6 * pitchMm, Math.min(heightMm, most)),
      seed,
    },
  ];
}

const isCode = (kind: ClutterKind): kind is (typeof CODES)[number] =>
  (CODES as readonly string[]).includes(kind);
