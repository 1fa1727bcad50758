import type { Mark } from "../artwork/mark.ts";
import { reversed, roundedRect } from "../artwork/shapes.ts";
import { smoothNoise } from "../noise/hash.ts";
import type { Artwork, Placed } from "./thing.ts";

/**
 * A flat mirror. It shows the flat surface round `reflects`, left and right exchanged, as if that part lay in the
 * surface's plane behind the glass, at the scene's own magnification. Placed by its middle.
 */
export interface Mirror extends Placed {
  readonly kind: "mirror";
  readonly widthMm: number;
  readonly heightMm: number;
  /** The place on the surface that appears in the middle of the glass. */
  readonly reflects: { readonly xMm: number; readonly yMm: number };
  /** How far the image lies behind the scene's plane; 0 = in focus with it. */
  readonly behindMm?: number;
}

/** Width of the metal frame. */
const FRAME_MM = 3;

export function mirrorGlass(thing: Mirror): Float64Array {
  const { widthMm: w, heightMm: h } = thing;
  return roundedRect(-w / 2, -h / 2, w / 2, h / 2, 5);
}

/** The mirror's frame; what the glass shows is painted by the renderer. */
export function mirrorFrame(thing: Mirror): Artwork {
  const { widthMm: w, heightMm: h } = thing;
  const f = FRAME_MM;
  const outer = roundedRect(-w / 2 - f, -h / 2 - f, w / 2 + f, h / 2 + f, 7);
  const marks: Mark[] = [
    {
      rings: [outer, reversed(mirrorGlass(thing))],
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const edge = Math.min(w / 2 + f - Math.abs(x), h / 2 + f - Math.abs(y)) / f;
          const k =
            0.5 +
            0.35 * Math.sin(Math.min(1, Math.max(0, edge)) * Math.PI) +
            0.05 * smoothNoise(x * 0.4, y * 0.4, 3);
          out[0] = k * 0.97;
          out[1] = k;
          out[2] = k * 1.02;
          out[3] = 1;
        },
      },
    },
  ];
  return {
    marks,
    shadow: { rings: [outer], heightMm: 3 },
    wraps: false,
    points: [{ name: "glass middle", x: 0, y: 0 }],
    regions: [{ name: "glass", outline: mirrorGlass(thing), holes: [] }],
    facts: { reflects: thing.reflects },
  };
}
