import { type Assessment, COARSE } from "./assess.ts";
import type { Candidate } from "./candidates.ts";
import type { MapKind } from "./fit-map.ts";

/** A candidate that was fitted, not only proposed. */
export type Settled = Candidate & { readonly kind: MapKind };

export type Decision =
  | { readonly aligned: true; readonly chosen: Settled; readonly warnings: readonly string[] }
  | { readonly aligned: false; readonly reason: string };

/**
 * Shares are weighted towards the middle of the overlap, and by chance 1.6 % would agree. Unrelated pictures of skin reached
 * up to 13 %, a shared cloth round two different subjects up to 31 %; the right map of one subject 70 % and more on
 * known movements, 43 % on a foot photographed on two days.
 */
const REFUSED_BELOW = 0.3;
const WARNED_BELOW = 0.5;
/** A cloth round two different subjects left 20 % in the middle, a wound that had changed over a tenth of the picture 60 %. */
const MIDDLE_WARNED_BELOW = 0.4;
/** Fewer telling places than this cannot outvote chance. */
const FEWEST_PATCHES = 10;
const FEW_PATCHES = 25;
/**
 * What repeats in place over less than this much is a border, a burnt-in mark or a background: two hand-held pictures
 * never agree in place, and two from a stand agree nearly everywhere.
 */
const IN_PLACE_THROUGHOUT = 0.6;
/** At this share in place the two pictures are copies of each other. */
const IDENTICAL = 0.97;
/** Share of the places that a second, different map explains and the first does not. */
const RIVAL_SHARE = 0.15;
/** A rival this strong cannot be told from the subject. */
const EVEN_RIVAL = 0.7;
/** The same places explained by another map, to within chance: a lattice, a weave, a ruled edge. */
const NEARLY_AS_GOOD = 0.8;

const percent = (share: number): string => `${Math.round(100 * share)} %`;

/**
 * Chooses among the maps found, or refuses. Whenever a second thing in the picture moved otherwise, or much of the
 * picture does not follow, that is said: the person who looks at the result has to know what was laid over what.
 *
 * @param exactly draws a map to its last fraction of a pixel
 */
export function decide(
  candidates: readonly Candidate[],
  exactly: (candidate: Candidate) => Candidate,
): Decision {
  if (candidates.length === 0) {
    return refused("the two pictures have no landmarks in common");
  }
  const best = candidates.find((c) => !isPartlyInPlace(c)) ?? candidates[0]!;
  const chosen = exactly(best);
  const { share, patches } = chosen.coarse;
  if (patches.length < FEWEST_PATCHES) {
    return refused(`the pictures show too little detail where they overlap (${patches.length} places)`);
  }
  if (chosen.kind === "proposed") {
    return refused("too few places agree to rest a map on");
  }
  if (isPartlyInPlace(chosen) && share >= REFUSED_BELOW / 2) {
    return refused(
      "only what repeats in place agrees (a border, a mark in every picture, or a background that did not move); the subject itself does not",
    );
  }
  if (share < REFUSED_BELOW) {
    return refused(`only ${percent(share)} of the places compared agree, too few to trust`);
  }
  const warnings: string[] = [];
  if (share < WARNED_BELOW) {
    warnings.push(
      `${percent(share)} of the places compared agree: the subject has changed or moved in itself, is curved, or is not the same`,
    );
  }
  if (chosen.inPlace && share < IDENTICAL) {
    warnings.push(
      "nothing has moved between the two pictures: they were taken from a stand, or only what surrounds the subject was compared",
    );
  }
  if (chosen.coarse.middleShare < MIDDLE_WARNED_BELOW) {
    warnings.push(
      "the middle of the picture does not follow its surroundings: the subject has changed much, or only what lies round it was laid over",
    );
  }
  if (spreadOf(chosen.coarse) < SPREAD_WARNED_BELOW) {
    warnings.push(
      "what agrees lies close together: perhaps only a scale, a label or a mark was laid over; read the scales or leave them out",
    );
  }
  if (patches.length < FEW_PATCHES) warnings.push(`few places could be compared (${patches.length})`);
  for (const rival of candidates.filter((c) => c !== best)) {
    const other = shareBeside(chosen.coarse, rival.coarse);
    if (other < RIVAL_SHARE) {
      if (rival.rank < NEARLY_AS_GOOD * chosen.rank) continue;
      warnings.push("the pattern repeats: the follow-up fits nearly as well in another position");
      break;
    }
    const what = rival.inPlace ? "stayed in place" : "moved differently";
    const how =
      rival.rank > EVEN_RIVAL * chosen.rank ? "; which of the two is the subject cannot be told" : "";
    warnings.push(
      `another part of the picture ${what} (${percent(other)} of the places)${how}: look closely`,
    );
    break;
  }
  return { aligned: true, chosen: { ...chosen, kind: chosen.kind }, warnings };
}

/** Parts along the long side into which the places are sorted. */
const PARTS = 5;
const FEWEST_IN_PART = 4;
/** By chance 1.6 % of a part's places would agree. */
const PART_AGREES = 0.3;
/** A scale laid over itself on dark skin left 0.30; right maps that nothing else was to be said of 0.63 and more. */
const SPREAD_WARNED_BELOW = 0.5;

/**
 * Share of the parts of the overlap in which places agree. A scale, a label or a mark has many places close together and
 * can outvote the skin round it; but it agrees in its own parts only.
 */
function spreadOf({ patches, sidePx }: Assessment): number {
  const parts = new Map<string, { all: number; agree: number }>();
  for (const p of patches) {
    const key = `${Math.floor((PARTS * p.x) / sidePx)},${Math.floor((PARTS * p.y) / sidePx)}`;
    const part = parts.get(key) ?? { all: 0, agree: 0 };
    parts.set(key, part);
    part.all++;
    if (Math.hypot(p.dx, p.dy) <= COARSE.tolerancePx) part.agree++;
  }
  const telling = [...parts.values()].filter(({ all }) => all >= FEWEST_IN_PART);
  const agreeing = telling.filter(({ all, agree }) => agree >= PART_AGREES * all);
  return telling.length > 0 ? agreeing.length / telling.length : 0;
}

const refused = (reason: string): Decision => ({ aligned: false, reason });

const isPartlyInPlace = (c: Candidate): boolean => c.inPlace && c.coarse.share < IN_PLACE_THROUGHOUT;

/** Weighted share of the places of `other` that agree with it and lie where nothing agrees with `main`. */
function shareBeside(main: Assessment, other: Assessment): number {
  const agrees = (a: Assessment) =>
    new Set(
      a.patches.filter((p) => Math.hypot(p.dx, p.dy) <= COARSE.tolerancePx).map((p) => `${p.x},${p.y}`),
    );
  const withMain = agrees(main);
  let beside = 0;
  let all = 0;
  for (const [i, p] of other.patches.entries()) {
    all += other.weights[i]!;
    if (Math.hypot(p.dx, p.dy) > COARSE.tolerancePx || withMain.has(`${p.x},${p.y}`)) continue;
    beside += other.weights[i]!;
  }
  return all > 0 ? beside / all : 0;
}
