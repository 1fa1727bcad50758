import type { Thing } from "../../scene/scene.ts";
import type { Placement } from "../../surface/pose.ts";
import type { Condition } from "./any-camera.ts";
import type { Draw } from "./draw.ts";

/** A finger hides this much of an edge. */
const FINGER_MM = 18;

/**
 * What lies over a scale that is placed there. `extentMm`: how much of it, from its own middle along its own x, and how
 * far across.
 */
export function coversOver(
  draw: Draw,
  conditions: readonly Condition[],
  placement: Placement,
  extentMm: { readonly from: number; readonly to: number; readonly across: number },
): Thing[] {
  const length = extentMm.to - extentMm.from;
  const along = (): number => draw.between(extentMm.from + 0.1 * length, extentMm.to - 0.1 * length);
  const on = (x: number, y: number, turnDeg: number): Placement => {
    const turn = ((placement.rotateDeg ?? 0) * Math.PI) / 180;
    return {
      xMm: placement.xMm + x * Math.cos(turn) - y * Math.sin(turn),
      yMm: placement.yMm + x * Math.sin(turn) + y * Math.cos(turn),
      rotateDeg: (placement.rotateDeg ?? 0) + turnDeg,
    };
  };
  const edgeY = -0.5 * extentMm.across;
  const things: Thing[] = [];
  if (conditions.includes("blood")) {
    for (let i = draw.whole(1, 4); i > 0; i--) {
      const lengthMm = Math.min(draw.between(1.5, 9), 0.12 * length);
      things.push({
        kind: "blood",
        placement: on(along(), edgeY + draw.between(-1, 6), draw.between(0, 360)),
        lengthMm,
        widthMm: lengthMm * draw.between(0.4, 1),
        seed: draw.whole(1, 9999),
      });
    }
  }
  if (conditions.includes("hair")) {
    things.push({
      kind: "hairs",
      placement: on((extentMm.from + extentMm.to) / 2, 0, 0),
      widthMm: length,
      heightMm: extentMm.across + 6,
      count: Math.round(draw.between(0.15, 0.7) * length),
      seed: draw.whole(1, 9999),
    });
  }
  if (conditions.includes("glare")) {
    const lengthMm = draw.between(0.08, 0.25) * length;
    things.push({
      kind: "glare",
      placement: on(along(), edgeY + draw.between(0, 5), draw.between(-30, 30)),
      lengthMm,
      widthMm: Math.max(4, lengthMm * draw.between(0.4, 0.9)),
      strength: draw.between(0.6, 1),
    });
  }
  if (conditions.includes("finger") && length >= 3 * FINGER_MM) {
    // From the second side, its tip past the graduated edge or short of it.
    things.push({
      kind: "finger",
      placement: on(along(), edgeY + draw.between(-4, 8), -90),
      gloved: draw.chance(0.5),
      tone: draw.pick([1, 2, 3, 4, 5, 6] as const),
    });
  }
  return things;
}
