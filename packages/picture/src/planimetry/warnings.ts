import type { ScaleFound } from "../answers.ts";
import { LEAST_RADIUS_MM } from "./curvature.ts";
import { LARGEST_LEAN_DEG } from "./lean-effect.ts";
import type { MeasuredShape } from "./measured-shape.ts";
import type { ScaleInForce } from "./scale-in-force.ts";

/** Beyond this the picture leans so much that focus and foreshortening vary across the subject. */
const MUCH_LEAN_DEG = 20;
const DISAGREEMENT_WORTH_SAYING = 0.01;
/** Round a limb, between where the scale lies and how it leans. */
const SCALE_OFF = Math.PI / 9;
/** Round a limb: beyond it skin is seen too much from the side. */
const MUCH_ROUND = Math.PI / 4;

/** What whoever reads the figures must know. */
export function warningsOf(
  measured: readonly MeasuredShape[],
  force: ScaleInForce,
  reading: ScaleFound,
): string[] {
  const warnings: string[] = [];
  if (force.method === "local-scale") {
    warnings.push(
      `The picture does not show how far the camera leaned: sizes are by the scale's own px/mm, and the intervals allow for a lean of up to ${LARGEST_LEAN_DEG}°.`,
    );
  } else if (reading.plane!.tiltDeg.value > MUCH_LEAN_DEG) {
    warnings.push(
      `The camera leaned by ${reading.plane!.tiltDeg.value.toFixed(0)}°: corrected, but take such a picture square on.`,
    );
  }
  if (force.disagreement > DISAGREEMENT_WORTH_SAYING) {
    warnings.push(
      `The scales in the picture differ by ${(100 * force.disagreement).toFixed(1)} %: they lie at different heights, or not flat.`,
    );
  }
  if (measured.some(reachesFarRound)) {
    warnings.push(
      "The outline reaches more than 45° round the limb: measure overlapping pictures, each taken square on, instead.",
    );
  }
  if (measured.some(scaleOffLimb)) {
    warnings.push(
      "The scale does not lie on the limb as it was marked: lay it along the line nearest to the camera, level with the subject.",
    );
  }
  if (measured.some((m) => m.isCurved && !m.limb)) {
    warnings.push(
      `The surface is curved and was measured as flat: the intervals allow for a radius down to ${LEAST_RADIUS_MM} mm. Give the girth or mark the edges of the limb to correct it.`,
    );
  }
  const { widthPx, heightPx } = reading;
  const touches = measured.some(({ region }) =>
    region.outline.some(({ x, y }) => x <= 1 || y <= 1 || x >= widthPx - 1 || y >= heightPx - 1),
  );
  if (touches)
    warnings.push("An outline reaches the border of the picture: what lies beyond is not measured.");
  return warnings;
}

function reachesFarRound({ limb, laid }: MeasuredShape): boolean {
  return limb !== null && laid.outline.some(({ y }) => Math.abs(y) > MUCH_ROUND * limb.cylinder.radiusMm);
}

function scaleOffLimb({ limb }: MeasuredShape): boolean {
  if (!limb) return false;
  const { byLean, byPlace } = limb.scaleAngle;
  return byPlace === null || Math.abs(byLean - byPlace) > SCALE_OFF;
}
