/** A box in millimetres. */
interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A line figure in millimetres of the subject: black within the frame, grey outside it. */
export interface CardFigure {
  readonly window: Box;
  readonly frame: Box;
  readonly strokes: readonly { readonly path: string; readonly pen: "line" | "fine" | "mark" | "thing" }[];
  readonly letters: readonly { readonly text: string; readonly x: number; readonly y: number }[];
  readonly letterMm: number;
}

/** One view as the hand needs it. Every text is ready to be read. */
export interface CardView {
  readonly name: string;
  /** Part, aspect, side. */
  readonly shows: string;
  readonly figure: CardFigure;
  /** "1:10", as it is set on the lens. */
  readonly ratio: string;
  /** "84 cm", to be read before `lens`. */
  readonly distance: string;
  /** "f/16". */
  readonly aperture: string;
  /** "before the 100 mm macro", or "from the" where nobody measured to its front. */
  readonly lens: string;
  /** Null: none. */
  readonly scale: string | null;
  /** Where this view differs from what is usual, and what else must be known of it. */
  readonly notes: readonly string[];
}

/** The plan of one request on one page: what is left at the bedside, and the label frame when it is photographed. */
export interface ShotCard {
  readonly department: string;
  readonly requestCode: string;
  /** What the code in the corner says (docs/label-code.md). */
  readonly codeText: string;
  readonly patientNumber: string | null;
  /** Null unless the practice allows a name at the bedside. */
  readonly patientName: string | null;
  readonly madeAt: Date;
  /** Name of the view set. */
  readonly title: string;
  /** Place, body, minutes, day. */
  readonly setting: readonly string[];
  readonly cautions: readonly string[];
  /** What holds for every view that does not say otherwise. */
  readonly usual: readonly string[];
  readonly views: readonly CardView[];
  readonly refused: readonly { readonly name: string; readonly reason: string }[];
}

/** How thick each pen draws, in points on paper or pixels on a screen. */
export const PEN_WIDTHS = { line: 1, fine: 0.5, mark: 1.3, thing: 0.7 } as const;
