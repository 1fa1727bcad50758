import type { Point, Region } from "@samescale/geometry";
import type { PlacedEdge } from "./edge.ts";
import type { KnownLimb, LimbInPicture } from "./limb.ts";
import type { ScaleInForce } from "./scale-in-force.ts";
import type { Shape } from "./shape.ts";

/** A limb as it was said, and as the picture shows it. */
export interface LimbMeasured extends KnownLimb {
  readonly said: LimbInPicture;
}

/** A region with all that its figures were worked out from. */
export interface MeasuredShape {
  readonly region: Region;
  readonly edge: PlacedEdge;
  readonly at: Point;
  readonly force: ScaleInForce;
  /** In millimetres: in the plane of the scale, or laid out as on the skin of a limb. */
  readonly laid: Region;
  readonly shape: Shape;
  readonly smoothing: number;
  readonly axisPx: readonly [Point, Point] | null;
  readonly limb: LimbMeasured | null;
  /** The part is curved, and nobody said how much. */
  readonly isCurved: boolean;
}
