import type { Camera } from "../camera/camera.ts";
import type { Scene } from "../scene/scene.ts";

/** One camera card of the invented department, before its pictures are made. Plain data. */
export interface CardPlan {
  /** Folder of the card. */
  readonly key: string;
  /** Folder of the pictures inside it, as cameras name them. */
  readonly folder: string;
  /** What the camera's clock said minus the true time. */
  readonly clockOffsetS: number;
  readonly frames: readonly FramePlan[];
}

/** What was done wrong on purpose. */
export type Planted =
  | { readonly fault: "clock"; readonly offsetS: number }
  | { readonly fault: "ratio"; readonly plannedMagnification: number; readonly madeMagnification: number }
  | { readonly fault: "lean"; readonly leanDeg: number }
  | { readonly fault: "scale-height"; readonly heightMm: number }
  | { readonly fault: "no-label" };

export interface FramePlan {
  readonly fileName: string;
  readonly shows: "label" | "view";
  readonly requestCode: string;
  /** Null: a request without a patient. */
  readonly patientNumber: string | null;
  /** True day of the visit, `YYYY-MM-DD`. */
  readonly visitDate: string;
  readonly viewSet: string;
  /** Null for label frames. */
  readonly viewKey: string | null;
  /** True local time, `YYYY-MM-DDTHH:MM:SS`; the file says what the camera's clock said. */
  readonly trueTakenAt: string;
  /** Name of the region in the truth that a person outlined; null when nothing is measured. */
  readonly outlined: string | null;
  /** Made again afterwards: the next frame of the same view is the one that counts. */
  readonly superseded: boolean;
  readonly planted: readonly Planted[];
  readonly camera: Camera;
  readonly scene: Scene;
  readonly seed: number;
}
