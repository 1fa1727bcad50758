import type { Measured } from "@samescale/geometry";
import type { Verdict } from "@samescale/practice";

/** One frame as the contact sheet shows it. */
export interface SheetFrame {
  readonly frameId: string;
  /** The original that is shown. */
  readonly sha256: string;
  readonly fileName: string;
  readonly takenAt: string | null;
  readonly viewName: string | null;
  readonly ratioPlanned: number | null;
  readonly ratioRead: Measured | null;
  readonly leanDeg: Measured | null;
  readonly areaMm2: Measured | null;
  readonly verdict: Verdict["verdict"] | null;
  readonly say: string;
  readonly isLabelFrame: boolean;
}

export interface SheetVisit {
  readonly visitId: string;
  readonly date: string;
  readonly frames: readonly SheetFrame[];
  /** Views of the plan that no frame shows. */
  readonly missingViews: readonly string[];
}

export interface SheetRequest {
  readonly requestCode: string;
  readonly title: string;
  readonly visits: readonly SheetVisit[];
}

/** Everything in the library, by request and visit, and what waits for a person. */
export interface ContactSheet {
  readonly requests: readonly SheetRequest[];
  readonly unplaced: readonly SheetFrame[];
}
