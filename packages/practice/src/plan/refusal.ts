import { formatRatio, magnificationsFromObjectToImage } from "@samescale/optics";
import type { Place } from "../department/department.ts";
import type { View } from "../views/view.ts";
import { listed, sayDistance } from "../words.ts";
import { type Candidate, type LensSetting, sayPerspective } from "./choose-lens.ts";

/** A view that cannot be made here with this kit: why, and what can be done, best first. */
export interface RefusedView {
  readonly view: View;
  readonly reason: string;
  readonly alternatives: readonly string[];
}

/** Why no lens fits, and the ways out: another place, more room, a tighter ratio, the kit put in order. */
export function refusalOf(
  view: View,
  candidates: readonly Candidate[],
  setting: LensSetting,
  places: readonly Place[],
): RefusedView {
  if (candidates.length === 0) {
    const reason = "The register has no lens.";
    return { view, reason, alternatives: ["Enter a lens in kit.yaml."] };
  }
  const bySpace = onlyAgainst(candidates, "space");
  if (bySpace.length > 0) return forWantOfSpace(view, bySpace, setting, places);
  const reason = `${formatRatio(setting.magnification)} cannot be made: ${candidates.map(({ against }) => against.map(({ says }) => says).join(", ")).join("; ")}.`;
  const repairs = onlyAgainst(candidates, "unusable").map(
    ({ lens }) => `With the ${lens.name} put right or back it can be made.`,
  );
  const nearer = onlyAgainst(candidates, "ratio")
    .map(({ lens }) => lens)
    .sort((a, b) => b.greatestRatio - a.greatestRatio)
    .slice(0, 1)
    .map(
      (lens) => `The ${lens.name} reaches ${formatRatio(lens.greatestRatio)}: plan the view at that ratio.`,
    );
  const longer =
    onlyAgainst(candidates, "working-distance").length > 0
      ? ["Take a longer lens, or a smaller ratio: both keep more room before the lens."]
      : [];
  return { view, reason, alternatives: [...repairs, ...nearer, ...longer] };
}

const onlyAgainst = (candidates: readonly Candidate[], what: string): Candidate[] =>
  candidates.filter(({ against }) => against.length > 0 && against.every((one) => one.what === what));

function forWantOfSpace(
  view: View,
  candidates: readonly Candidate[],
  setting: LensSetting,
  places: readonly Place[],
): RefusedView {
  const { place, magnification } = setting;
  // The usual lens first, then those that ask for less room.
  const longestFirst = candidates.toSorted((a, b) => b.spaceMm - a.spaceMm);
  const usual = longestFirst[0]!;
  const least = longestFirst.at(-1)!;
  const needs = longestFirst.map(({ lens, spaceMm }) => `${sayDistance(spaceMm)} with the ${lens.name}`);
  const reason = `${place.name} gives ${sayDistance(place.freeMm)}: ${formatRatio(magnification)} needs ${listed(needs)}.`;
  const elsewhere = places
    .filter(({ freeMm }) => freeMm >= usual.spaceMm)
    .sort((a, b) => a.freeMm - b.freeMm)
    .slice(0, 2)
    .map(
      ({ name, freeMm }) =>
        `${name} has ${sayDistance(freeMm)}: the ${usual.lens.name} fits there, nothing changes.`,
    );
  const moreRoom = longestFirst
    .toReversed()
    .slice(0, 2)
    .map((one) =>
      `With ${sayDistance(one.spaceMm - place.freeMm)} more room the ${one.lens.name} fits. ${one === usual ? "" : sayPerspective(usual, one, view)}`.trim(),
    );
  const tighter = tightest(least, setting);
  return { view, reason, alternatives: [...elsewhere, ...moreRoom, ...tighter] };
}

/** The widest ratio that this room allows with the shortest lens. */
function tightest({ lens }: Candidate, { place, standingRoomMm, sensor }: LensSetting): string[] {
  const roomMm = place.freeMm - standingRoomMm;
  const hiatusMm = lens.hiatusMm ?? 0;
  if (roomMm < 4 * lens.focalMm + hiatusMm) return [];
  const { smaller } = magnificationsFromObjectToImage(lens.focalMm, roomMm, hiatusMm);
  const [longMm, shortMm] = [
    Math.max(sensor.widthMm, sensor.heightMm),
    Math.min(sensor.widthMm, sensor.heightMm),
  ];
  return [
    `Here the ${lens.name} reaches ${formatRatio(smaller)}, a field of ${Math.round(longMm / smaller)} × ${Math.round(shortMm / smaller)} mm: make the view in overlapping frames.`,
  ];
}
