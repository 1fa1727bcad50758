import { scaleOfCode } from "@samescale/marker";
import type { LabelAnswer, Recipe, XY } from "../answers.ts";
import { bytesOfFile } from "../decode/bytes-of-file.ts";
import { decodeBytes, wholeGreyOf } from "../decode/decode.ts";
import { FIRST_SIDE_PX, labelsOfBytes } from "../label/labels-of-file.ts";
import { type Box, printedParts } from "../label/printed-parts.ts";
import type { GreyBytes } from "../label/scanner.ts";
import { faceCascade, facesIn } from "./faces.ts";
import { inPolygon, type MaskArea } from "./mask-area.ts";

export interface ProposeMasksInput {
  readonly file: string;
  /** Where the trained face lies, when not where general systems keep it. */
  readonly faceCascade?: string;
}

export interface ProposedArea extends MaskArea {
  readonly from: "code-reader" | "print-finder" | "face-finder";
  /** What was seen there. */
  readonly why: string;
}

export interface MaskProposals {
  /** Of exactly the bytes that were looked at. */
  readonly sha256: string;
  /** Upright. */
  readonly widthPx: number;
  readonly heightPx: number;
  readonly areas: readonly ProposedArea[];
  /** What nothing on this machine looked for. */
  readonly notLookedFor: readonly string[];
  readonly recipe: Recipe;
}

const FACE_SIDE_PX = 1200;
/** A picture of woven cloth is print all over: a person sees the strongest places. */
const MOST_WRITING = 6;

/**
 * What may have to be masked, as far as something here can find it. A proposal covers nothing: a person confirms or
 * dismisses each, and is asked for what no finder looks for.
 *
 * @throws SamescaleError as `decodePicture`
 */
export async function proposeMasks(input: ProposeMasksInput): Promise<MaskProposals> {
  const { file } = input;
  const { bytes, sha256 } = await bytesOfFile(file);
  const seen = await decodeBytes(bytes, file, { maxSidePx: FIRST_SIDE_PX });
  const labels = (await labelsOfBytes(bytes, file, seen)).codes
    .filter(({ text }) => scaleOfCode(text) === null)
    .map(labelRound);
  const spots = printedParts(wholeGreyOf(seen) as GreyBytes).spots;
  const writing = spots
    .map((box) => writingAt(box, seen.scale))
    .filter(({ polygon }) => !labels.some((label) => inPolygon(label.polygon, middleOf(polygon))))
    .slice(0, MOST_WRITING);
  const cascade = await faceCascade(input.faceCascade === undefined ? undefined : [input.faceCascade]);
  const faces = cascade === null ? [] : await facesOf(bytes, file, cascade);
  return {
    sha256,
    widthPx: seen.fullWidthPx,
    heightPx: seen.fullHeightPx,
    areas: [...faces, ...labels, ...writing],
    notLookedFor: [
      ...(cascade === null ? ["faces"] : ["faces seen from the side, lying or half seen"]),
      ...NEVER,
    ],
    recipe: { step: "propose-masks", version: 1, parameters: { faces: cascade !== null } },
  };
}

const NEVER = ["tattoos", "marks", "jewellery", "clothing", "other persons", "screens without a code"];

type Code = LabelAnswer["codes"][number];

/** A label is larger than its code: name and number stand beside it. Common practice, no source. */
const LABEL_SHARE = 0.4;

function labelRound({ corners, format }: Code): ProposedArea {
  const [tl, tr, br, bl] = corners as readonly [XY, XY, XY, XY];
  const along = mid(minus(tr, tl), minus(br, bl));
  const down = mid(minus(bl, tl), minus(br, tr));
  const length = Math.max(Math.hypot(...along), Math.hypot(...down));
  const wider = times(along, (LABEL_SHARE * length) / Math.max(1, Math.hypot(...along)));
  // The lines of a barred code that were read are thin, its label is not: always by the code's length.
  const unit =
    Math.hypot(...along) > 0 ? times([-along[1], along[0]], 1 / Math.hypot(...along)) : ([0, 1] as const);
  const taller = times(unit, LABEL_SHARE * length);
  const polygon = [
    minus(minus(tl, wider), taller),
    minus(plus(tr, wider), taller),
    plus(plus(br, wider), taller),
    plus(minus(bl, wider), taller),
  ];
  return {
    kind: "label",
    polygon,
    from: "code-reader",
    why: `a code (${format}) that names somebody or something`,
  };
}

function writingAt({ x0, y0, x1, y1 }: Box, scale: number): ProposedArea {
  const polygon = rectangle(x0 / scale, y0 / scale, x1 / scale, y1 / scale);
  return {
    kind: "writing",
    polygon,
    from: "print-finder",
    why: "as busy as print: writing, a label, or a scale's numerals",
  };
}

/** Hair, ears and chin are known as well. */
const FACE_SHARE = { sides: 0.3, above: 0.5, below: 0.3 };

async function facesOf(bytes: Buffer, file: string, cascade: Buffer): Promise<ProposedArea[]> {
  const small = await decodeBytes(bytes, file, { maxSidePx: FACE_SIDE_PX });
  const faces = await facesIn(wholeGreyOf(small), cascade);
  return faces.map(({ x, y, widthPx, heightPx }) => {
    const polygon = rectangle(
      (x - FACE_SHARE.sides * widthPx) / small.scale,
      (y - FACE_SHARE.above * heightPx) / small.scale,
      (x + (1 + FACE_SHARE.sides) * widthPx) / small.scale,
      (y + (1 + FACE_SHARE.below) * heightPx) / small.scale,
    );
    return { kind: "face", polygon, from: "face-finder", why: "looks like a face from the front" } as const;
  });
}

const rectangle = (x0: number, y0: number, x1: number, y1: number): XY[] => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];
const plus = ([ax, ay]: XY, [bx, by]: XY): XY => [ax + bx, ay + by];
const minus = ([ax, ay]: XY, [bx, by]: XY): XY => [ax - bx, ay - by];
const times = ([x, y]: XY, by: number): XY => [x * by, y * by];
const mid = (a: XY, b: XY): XY => times(plus(a, b), 0.5);
const middleOf = (polygon: readonly XY[]): XY =>
  times(polygon.reduce(plus, [0, 0] as XY), 1 / polygon.length);
