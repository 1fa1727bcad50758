import { type CloseUpFigures, formatRatio, nearestMarkedFNumber } from "@samescale/optics";
import type { Lens } from "../kit/item.ts";
import type { View } from "../views/view.ts";

/** How much of the wanted depth will be sharp. Null: the view asks for an f-number, not for a depth. */
export interface DepthSaid {
  readonly wantedMm: number;
  readonly gotMm: number;
  readonly reached: boolean;
  readonly says: string;
}

/** The f-number to set: the view's own, or the one that balances defocus and diffraction for its depth; within the lens. */
export function apertureFor(
  view: View,
  lens: Lens,
  balancedFNumber: number,
): { fNumber: number; says: string | null } {
  const wanted = view.fNumber ?? nearestMarkedFNumber(balancedFNumber) ?? balancedFNumber;
  const { least, most } = lens.fNumbers;
  if (wanted > most)
    return { fNumber: most, says: `The ${lens.name} closes to f/${most}, not to f/${wanted}.` };
  if (wanted < least)
    return { fNumber: least, says: `The ${lens.name} opens to f/${least}, not to f/${wanted}.` };
  return { fNumber: wanted, says: null };
}

/** What the depth of field gives of the depth that the view asks for. */
export function depthSaid(view: View, magnification: number, figures: CloseUpFigures): DepthSaid | null {
  if (view.depthMm === undefined) return null;
  const { depthMm: wantedMm } = view;
  const gotMm = figures.depthOfField.totalMm;
  // What reads alike is alike: an f-number is set in steps.
  const reached = gotMm >= wantedMm || oneDigit(gotMm) === oneDigit(wantedMm);
  return {
    wantedMm,
    gotMm,
    reached,
    says: reached
      ? `${oneDigit(gotMm)} mm are sharp, ${oneDigit(wantedMm)} mm are asked for.`
      : `Only ${oneDigit(gotMm)} of ${oneDigit(wantedMm)} mm are sharp at ${formatRatio(magnification)} and f/${figures.fNumber}: focus on what is measured, or plan a smaller ratio.`,
  };
}

const oneDigit = (mm: number): string =>
  mm === Number.POSITIVE_INFINITY ? "all" : mm >= 20 ? String(Math.round(mm)) : String(Number(mm.toFixed(1)));
