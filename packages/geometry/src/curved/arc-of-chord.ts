export interface Arc {
  readonly ok: true;
  /** Length on the surface, across the axis. */
  readonly arcMm: number;
  /** How much longer than the chord: 0.029 for 2.9 %. */
  readonly excess: number;
  /** From the front line to either end, seen from the axis. */
  readonly halfAngleDeg: number;
  /** False beyond 45° round the limb: take overlapping pictures, each square on, instead of correcting. */
  readonly isWithin45Deg: boolean;
}

/**
 * Length along a cylinder (a limb of radius `radiusMm`) of something that spans `chordMm` across it in a flat picture,
 * centred on the line nearest to the camera, at the scale of that line.
 *
 * From afar `arc = 2 R asin(w / 2R)`. At a camera distance D (to the nearest line) the sides lie further off and
 * look smaller: with h = w / 2, the half angle φ solves `h = D R sin φ / (D + R (1 - cos φ))`, that is
 * `φ = asin(h (D + R) / (R √(D² + h²))) - atan(h / D)`.
 * Refused where the chord reaches past the limb's visible edge, or an argument is not above 0.
 * Derived here; no published source.
 */
export function arcOfChord(question: {
  readonly chordMm: number;
  readonly radiusMm: number;
  /** Camera (entrance pupil) to the nearest line of the surface; left out: far. */
  readonly distanceMm?: number;
}): Arc | { readonly ok: false; readonly reason: string } {
  const { chordMm, radiusMm, distanceMm = Infinity } = question;
  if (!(chordMm > 0 && radiusMm > 0 && distanceMm > 0)) {
    return { ok: false, reason: "chord, radius and distance must be more than 0 mm" };
  }
  const angle = angleRoundLimb(chordMm / 2, radiusMm, distanceMm);
  if (Number.isNaN(angle))
    return { ok: false, reason: "the chord reaches past the visible edge of the limb" };
  const arcMm = 2 * radiusMm * angle;
  return {
    ok: true,
    arcMm,
    excess: arcMm / chordMm - 1,
    halfAngleDeg: (angle * 180) / Math.PI,
    isWithin45Deg: angle <= Math.PI / 4,
  };
}

/** Angle round the limb, seen from its axis, of what is seen `acrossMm` beside its front line; NaN beyond the edge. */
function angleRoundLimb(acrossMm: number, radiusMm: number, distanceMm: number): number {
  if (distanceMm === Infinity) return Math.asin(acrossMm / radiusMm);
  const sine = (acrossMm * (distanceMm + radiusMm)) / (radiusMm * Math.hypot(distanceMm, acrossMm));
  return Math.asin(sine) - Math.atan(acrossMm / distanceMm);
}
