import { objectDistanceMm, perspectiveChange } from "@samescale/optics";
import type { Lens } from "../kit/item.ts";
import type { PlannedView } from "../plan/plan-view.ts";
import type { RefusedView } from "../plan/refusal.ts";
import type { View } from "../views/view.ts";
import { sayDistance, sayFactor } from "../words.ts";
import type { Reached } from "./reached.ts";
import { isSameFocal } from "./strayed.ts";

/** What standing elsewhere does to the shape of the subject, against the frame that is repeated. */
export interface PerspectiveKept {
  readonly fromMm: number;
  readonly toMm: number;
  /** Of the size of a plane against one `reliefMm` behind it; 1: nothing changes. */
  readonly change: number;
  /** Null: the camera stands where it stood. */
  readonly says: string | null;
}

export type LensAgain =
  | {
      readonly planned: PlannedView;
      readonly perspective: PerspectiveKept;
      /** Why this lens. */
      readonly says: string;
      /** What the lens of the frame, or other lenses, would do; best first. */
      readonly others: readonly string[];
    }
  | { readonly refused: RefusedView };

/** Beyond rounding and reading: 2 % of the distance. */
const SAME_PLACE = 0.02;

/** What the lens is chosen for. */
export interface LensAsked {
  readonly view: View;
  /** To reach on the sensor of now. */
  readonly magnification: number;
  readonly reached: Reached;
  readonly lenses: readonly Lens[];
  /** Id of the lens that somebody asks for. */
  readonly wanted: string | undefined;
}

/**
 * The lens that lets the camera stand where it stood, as distance alone makes the perspective: the one that was used
 * wherever it can be, else the one that comes nearest to its distance; or the one that is wanted, with what others would do.
 * @param planWith the view planned with this lens alone, with all of the register for `null`
 */
export function lensAgain(
  { view, magnification, reached, lenses, wanted }: LensAsked,
  planWith: (lensId: string | null) => PlannedView | RefusedView,
): LensAgain {
  const answers = lenses.map((lens) => ({ lens, answer: planWith(lens.id) }));
  const isUsed = ({ focalMm }: { readonly focalMm: number }) => isSameFocal(focalMm, reached.focalMm.value);
  const possible = answers
    .flatMap(({ answer }) => ("lens" in answer ? [answer] : []))
    .map((planned) => ({ planned, perspective: perspectiveTo(planned.objectDistanceMm, view, reached) }))
    .sort(
      (a, b) =>
        offPlace(a.perspective) - offPlace(b.perspective) ||
        Number(isUsed(b.planned)) - Number(isUsed(a.planned)),
    );
  const best =
    wanted === undefined ? possible[0] : possible.find(({ planned }) => planned.lens.id === wanted);
  const meant = answers.find(({ lens }) => (wanted === undefined ? isUsed(lens) : lens.id === wanted));
  const refusal = meant && "reason" in meant.answer ? meant.answer : null;
  const against = meant && refusal ? waysOf(meant.lens, refusal) : [];
  const others = possible
    .filter((one) => one !== best)
    .map(({ planned, perspective }) => `With the ${planned.lens.name}: ${perspective.says ?? SAME}`);
  if (!best) {
    const refused = refusal ?? (planWith(null) as RefusedView);
    const ways = refusal === null ? refused.alternatives : against.slice(1);
    return { refused: { ...refused, alternatives: [...ways, ...others] } };
  }
  const how = {
    used: answers.find(({ lens }) => isUsed(lens))?.lens ?? null,
    refused: refusal !== null,
    wanted: wanted !== undefined,
  };
  // Where nothing changes nobody looks for another way.
  const ways = refusal === null && best.perspective.says === null ? [] : others;
  return { ...best, says: whyThis(best, how, reached), others: [...against, ...ways] };

  /** Another place changes nothing only where the camera stands as far away as it stood. */
  function waysOf(lens: Lens, { reason, alternatives }: RefusedView): string[] {
    const there = perspectiveTo(objectDistanceMm(lens.focalMm, magnification), view, reached).says;
    const ways = alternatives.map((way) =>
      there === null ? way : way.replace("nothing changes.", lower(there)),
    );
    return [reason, ...ways];
  }
}

const SAME = "the camera stands where it stood.";

function perspectiveTo(toMm: number, view: View, { objectDistanceMm: fromMm }: Reached): PerspectiveKept {
  const change = view.reliefMm === 0 ? 1 : perspectiveChange(fromMm, toMm, view.reliefMm);
  return { fromMm, toMm, change, says: sayPerspective(fromMm, toMm, change, view.reliefMm) };
}

function sayPerspective(fromMm: number, toMm: number, change: number, reliefMm: number): string | null {
  if (Math.abs(Math.log(toMm / fromMm)) <= SAME_PLACE) return null;
  const where = `The camera stands ${sayDistance(toMm)} from the subject, not ${sayDistance(fromMm)}`;
  if (reliefMm === 0) {
    return `${where}: what lies out of the subject's plane is drawn in another size; the view states no depth to say by how much.`;
  }
  return `${where}: perspective changes by ${sayFactor(change)} over ${sayDistance(reliefMm)} of depth, ${change > 1 ? "nearer parts look larger" : "it looks flatter"}.`;
}

const offPlace = ({ fromMm, toMm }: PerspectiveKept): number => {
  const off = Math.abs(Math.log(toMm / fromMm));
  return off <= SAME_PLACE ? 0 : off;
};

function whyThis(
  { planned, perspective }: { readonly planned: PlannedView; readonly perspective: PerspectiveKept },
  {
    used,
    refused,
    wanted,
  }: { readonly used: Lens | null; readonly refused: boolean; readonly wanted: boolean },
  { focalMm }: Reached,
): string {
  const { name } = planned.lens;
  const place = perspective.says ?? `T${SAME.slice(1)}`;
  if (isSameFocal(planned.focalMm, focalMm.value)) return `${name}, as then: ${lower(place)}`;
  if (wanted) return `${name}, as asked; then it was ${focalMm.value} mm. ${place}`;
  if (used === null) return `${name}: no lens of the register has the ${focalMm.value} mm of then. ${place}`;
  if (refused) return `${name}: the ${used.name} of then cannot be used here. ${place}`;
  return `${name}: it comes nearer to the place of then than the ${used.name}. ${place}`;
}

const lower = (text: string): string => `${text.charAt(0).toLowerCase()}${text.slice(1)}`;
