import { FIGURES, type Figure, type FigureName } from "./catalogue.ts";
import { box, fine, oval, type Stroke, straight, thing, turnOver } from "./pen.ts";

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** What a view shows, ready to be drawn: strokes within `frame` in black, those outside it in grey. */
export interface ViewFigure {
  /** What is drawn at all. */
  readonly window: Box;
  /** The picture's edge. */
  readonly frame: Box;
  readonly strokes: readonly Stroke[];
  /** "R" and "L" for the patient's own sides, each about its point. */
  readonly letters: readonly { readonly text: string; readonly x: number; readonly y: number }[];
  /** Height of a letter. */
  readonly letterMm: number;
}

/** Of the frame's longer side, shown round the picture's edge. */
const MARGIN = 0.1;
const LETTER = 0.115;

/**
 * The line figure of a view with the picture's edge over it, in millimetres of the subject.
 * @param view without a figure: the edge alone
 * @param fieldMm what the frame holds with the kit at hand, as the frame is held
 */
export function viewFigure(
  view: {
    readonly figure?: FigureName | undefined;
    readonly side: "left" | "right" | "both" | "none" | "either";
    readonly scale: "none" | "straight" | "L" | "label" | "marker";
  },
  fieldMm: { readonly width: number; readonly height: number },
): ViewFigure {
  const figure: Figure = view.figure ? FIGURES[view.figure] : { strokes: [], aim: [0, 0], sides: "one" };
  const isTurned = figure.sides === "one" && view.side === "left";
  const [aimX, aimY] = [isTurned ? -figure.aim[0] : figure.aim[0], figure.aim[1]];
  const { width, height } = fieldMm;
  const frame: Box = { x: aimX - width / 2, y: aimY - height / 2, width, height };
  const margin = MARGIN * Math.max(width, height);
  return {
    window: {
      x: frame.x - margin,
      y: frame.y - margin,
      width: width + 2 * margin,
      height: height + 2 * margin,
    },
    frame,
    strokes: [...(isTurned ? turnOver(figure.strokes) : figure.strokes), ...scaleIn(frame, view.scale)],
    letters: lettersOf(figure, view.side, frame),
    letterMm: LETTER * Math.max(width, height),
  };
}

function lettersOf({ sides }: Figure, side: string, frame: Box): ViewFigure["letters"] {
  const inset = LETTER * Math.max(frame.width, frame.height) * 0.72;
  const [left, right, y] = [frame.x + inset, frame.x + frame.width - inset, frame.y + inset];
  if (sides === "front")
    return [
      { text: "R", x: left, y },
      { text: "L", x: right, y },
    ];
  if (sides === "back")
    return [
      { text: "L", x: left, y },
      { text: "R", x: right, y },
    ];
  if (side === "left") return [{ text: "L", x: left, y }];
  if (side === "right") return [{ text: "R", x: left, y }];
  return [];
}

/** A scale along the picture's lower edge; its true length where that fits. */
function scaleIn(frame: Box, kind: string): Stroke[] {
  if (kind === "none") return [];
  const thick = Math.min(frame.height * 0.1, Math.max(8, frame.height * 0.06));
  const bottom = frame.y + frame.height - thick * 1.5;
  const lengthMm = Math.min(
    { straight: 150, L: 80, label: 20, marker: 100 }[kind] ?? 100,
    frame.width * 0.62,
  );
  const ticks = (n: number, x: (i: number) => number) =>
    Array.from({ length: n - 1 }, (_, i) =>
      straight([
        [x(i + 1), bottom],
        [x(i + 1), bottom + thick * ((i + 1) % 5 === 0 ? 0.7 : 0.45)],
      ]),
    );
  const x0 = frame.x + (kind === "L" ? frame.width * 0.1 : (frame.width - lengthMm) / 2);
  if (kind !== "L") {
    return [
      ...thing(box(x0, bottom, lengthMm, thick)),
      ...fine(...ticks(10, (i) => x0 + (lengthMm * i) / 10)),
    ];
  }
  const up = Math.min(lengthMm * 0.8, frame.height * 0.56);
  return [
    ...thing(
      straight(
        [
          [x0 - thick, bottom - up],
          [x0, bottom - up],
          [x0, bottom],
          [x0 + lengthMm, bottom],
          [x0 + lengthMm, bottom + thick],
          [x0 - thick, bottom + thick],
        ],
        true,
      ),
      oval(x0 - thick / 2, bottom + thick / 2, thick * 0.3),
      oval(x0 + lengthMm - thick * 0.7, bottom + thick / 2, thick * 0.3),
      oval(x0 - thick / 2, bottom - up + thick * 0.7, thick * 0.3),
    ),
    ...fine(
      ...ticks(8, (i) => x0 + ((lengthMm - thick * 1.2) * i) / 8),
      ...[1, 2, 3, 4, 5].map((i) =>
        straight([
          [x0, bottom - (up * i) / 6.5],
          [x0 - thick * 0.45, bottom - (up * i) / 6.5],
        ]),
      ),
    ),
  ];
}
