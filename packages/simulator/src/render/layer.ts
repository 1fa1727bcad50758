import type { DepthAt } from "../lens/blur.ts";
import type { Box } from "../raster/projected.ts";
import type { Strip } from "../raster/strip.ts";

/** Things at one depth, painted apart because the lens blurs them apart. Listed from far to near. */
export interface Layer {
  /** Where it shows anything, in px; null = everywhere. */
  readonly bounds: Box | null;
  readonly depthAt: DepthAt;
  /** The largest blur disc in it, px. */
  readonly discPx: number;
  /** Covers everything below it. */
  readonly opaque: boolean;
  /** Painted as the lens shows it already: no blur is added. */
  readonly soft?: boolean;
  /** Paints lit, premultiplied light into a cleared strip. */
  paint(strip: Strip): void;
}
