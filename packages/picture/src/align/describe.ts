import { applyHomography, invertHomography, jacobianAt, type Matrix3, type Point } from "@samescale/geometry";

export interface Movement {
  /** Follow-up px per baseline px at the centre of the overlap. */
  readonly scaleChange: number;
  /** Turn of the follow-up's content against the baseline's, clockwise on the screen, −180 to 180. */
  readonly rotationDeg: number;
  /** Where the follow-up's content lies against the baseline's, as a share of the follow-up's frame. */
  readonly shiftFraction: { readonly x: number; readonly y: number };
  /** Share of the baseline that the follow-up covers. */
  readonly overlap: number;
  /** Centre of what both show, baseline px. */
  readonly middle: Point;
}

interface Frame {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Points a side, laid over the baseline to find the overlap: 1/40 of the frame is fine enough to say it. */
const GRID = 40;

/** Puts a map (follow-up px → baseline px, full pictures) into the words in which a camera is moved. */
export function describe(h: Matrix3, baseline: Frame, followup: Frame): Movement {
  const back = invertHomography(h);
  const covered: Point[] = [];
  for (let j = 0; j < GRID; j++) {
    for (let i = 0; i < GRID; i++) {
      const p = { x: ((i + 0.5) / GRID) * baseline.widthPx, y: ((j + 0.5) / GRID) * baseline.heightPx };
      const q = applyHomography(back, p);
      const inside = q.x >= 0 && q.y >= 0 && q.x <= followup.widthPx && q.y <= followup.heightPx;
      if (inside) covered.push(p);
    }
  }
  const middle = { x: baseline.widthPx / 2, y: baseline.heightPx / 2 };
  const centre =
    covered.length > 0
      ? {
          x: covered.reduce((s, p) => s + p.x, 0) / covered.length,
          y: covered.reduce((s, p) => s + p.y, 0) / covered.length,
        }
      : middle;
  const j = jacobianAt(back, centre);
  const scaleChange = Math.sqrt(Math.abs(j[0][0] * j[1][1] - j[0][1] * j[1][0]));
  const rotationDeg = (Math.atan2(j[1][0] - j[0][1], j[0][0] + j[1][1]) * 180) / Math.PI;
  const shown = applyHomography(back, middle);
  return {
    scaleChange,
    rotationDeg,
    shiftFraction: {
      x: (shown.x - followup.widthPx / 2) / followup.widthPx,
      y: (shown.y - followup.heightPx / 2) / followup.heightPx,
    },
    overlap: covered.length / GRID ** 2,
    middle: centre,
  };
}

/** A view that is repeated shows most of the baseline again; where half is missing something else may have been laid over. */
const LITTLE_OVERLAP = 0.5;
/** A view turned further than this was not framed like its baseline; sideways and upside down included. */
const MUCH_ROTATION_DEG = 45;

/** What in the movement itself is unusual between two pictures of one view. */
export function movementWarnings({ overlap, rotationDeg }: Movement): string[] {
  const warnings: string[] = [];
  if (overlap < LITTLE_OVERLAP)
    warnings.push(`the follow-up covers only ${Math.round(100 * overlap)} % of the baseline`);
  if (Math.abs(rotationDeg) > MUCH_ROTATION_DEG) {
    warnings.push(`the follow-up is turned by ${Math.round(Math.abs(rotationDeg))}° against the baseline`);
  }
  return warnings;
}
