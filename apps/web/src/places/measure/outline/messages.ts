import type { OutlineStep } from "@samescale/picture/outline";
import type {
  Measurements,
  OutlineRegion,
  OwnRepeats,
  PartSaid,
  ScaleFound,
} from "@samescale/picture/planimetry";

/** To the worker: the picture once, as the server sends it; then steps as often as they change. */
export type Asked =
  | { readonly kind: "picture"; readonly bytes: ArrayBuffer }
  | {
      readonly kind: "steps";
      readonly id: number;
      readonly steps: readonly OutlineStep[];
      /** null: there is no reading to measure by. */
      readonly reading: ScaleFound | null;
      readonly said: PartSaid;
      readonly ownRepeats: OwnRepeats | null;
    };

/** What the steps come to. */
export interface Outlined {
  readonly id: number;
  readonly regions: readonly OutlineRegion[];
  readonly reason: string | null;
  readonly warnings: readonly string[];
  readonly measured: Measurements | null;
  /** Why there is an outline and no figure. */
  readonly notMeasured: string | null;
}
