import { SamescaleError } from "@samescale/errors";
import { objectDistanceMm } from "@samescale/optics";
import type { LensMeasured } from "./lens-distances.ts";

/** What measured distances say of a lens. */
export interface FrontOffset {
  /** Focal length in force over the measured ratios; the engraved one where a single distance was measured. */
  readonly focalInForceMm: number;
  /** Front principal plane to the front of the lens: positive, the lens reaches out before the plane. */
  readonly frontMm: number;
  /** Largest distance of a measurement from the line; null with fewer than three. */
  readonly worstMm: number | null;
  /** In words, what it means for the plan. */
  readonly says: string;
}

/** A tape held at the front of a lens is read to about this. */
const TAPE_MM = 5;
/** A focal length this much below the engraved one is internal focusing, not a slip of the tape. */
const SHORTER = 0.95;

/**
 * Focal length in force and front offset from the distance between the front of the lens and the subject at ratios
 * that were read from pictures: w = f(1 + 1/m) - front, a straight line in 1/m (least squares). One distance gives the
 * offset alone, with the engraved focal length.
 * @throws SamescaleError KIT_MEASUREMENT when the distances cannot belong to a lens
 * @source Ray2002 (object distance); least squares: textbook
 */
export function frontOffset(engravedFocalMm: number, measured: readonly LensMeasured[]): FrontOffset {
  const [first] = measured;
  if (!first) throw impossible("no distance was given");
  const spread = new Set(measured.map(({ magnification }) => magnification.toFixed(4))).size;
  const line = spread < 2 ? engraved(engravedFocalMm, measured) : fitted(measured);
  if (!(line.focalMm > 0)) throw impossible("the distance does not grow as the picture gets smaller");
  if (line.focalMm > 1.5 * engravedFocalMm || line.focalMm < 0.3 * engravedFocalMm) {
    throw impossible(
      `they would give ${Math.round(line.focalMm)} mm of focal length, the lens is engraved ${engravedFocalMm} mm`,
    );
  }
  const off = measured.map(
    (one) => objectDistanceMm(line.focalMm, one.magnification) - line.frontMm - one.frontToSubjectMm,
  );
  const worstMm = spread < 3 ? null : Math.max(...off.map(Math.abs));
  return {
    focalInForceMm: line.focalMm,
    frontMm: line.frontMm,
    worstMm,
    says: sentence(engravedFocalMm, line.focalMm, spread, worstMm),
  };
}

function engraved(focalMm: number, measured: readonly LensMeasured[]) {
  const offsets = measured.map((one) => objectDistanceMm(focalMm, one.magnification) - one.frontToSubjectMm);
  return { focalMm, frontMm: offsets.reduce((sum, one) => sum + one, 0) / offsets.length };
}

function fitted(measured: readonly LensMeasured[]) {
  const x = measured.map(({ magnification }) => 1 + 1 / magnification);
  const y = measured.map((one) => one.frontToSubjectMm);
  const meanX = x.reduce((a, b) => a + b, 0) / x.length;
  const meanY = y.reduce((a, b) => a + b, 0) / y.length;
  const sxx = x.reduce((sum, one) => sum + (one - meanX) ** 2, 0);
  const sxy = x.reduce((sum, one, i) => sum + (one - meanX) * (y[i]! - meanY), 0);
  const focalMm = sxy / sxx;
  return { focalMm, frontMm: focalMm * meanX - meanY };
}

function sentence(engravedMm: number, focalMm: number, spread: number, worstMm: number | null): string {
  if (spread < 2) {
    return "One ratio gives the offset only if the engraved focal length holds there; measure at a second ratio.";
  }
  const shorter =
    focalMm < SHORTER * engravedMm
      ? `The lens focuses internally: ${Math.round(focalMm)} mm are in force where ${engravedMm} mm are engraved. `
      : "";
  if (worstMm === null) return `${shorter}Two ratios fit any line; a third would show a slip.`;
  return worstMm > TAPE_MM
    ? `${shorter}The distances lie up to ${Math.round(worstMm)} mm off one line: the focal length changes with the ratio, or one was misread. The plan goes from measured ratio to measured ratio.`
    : `${shorter}The distances agree within ${Math.max(1, Math.round(worstMm))} mm.`;
}

const impossible = (why: string) =>
  new SamescaleError(
    "KIT_MEASUREMENT",
    `These distances cannot belong to this lens: ${why}`,
    "Measure from the front of the lens to the subject's plane, at ratios read from the pictures, and name each as 1:4=412.",
  );
