import {
  diagonalMm,
  formatRatio,
  objectDistanceMm,
  objectToImageMm,
  perspectiveChange,
  type SensorSize,
} from "@samescale/optics";
import type { Lens } from "../kit/item.ts";
import { frontToSubjectMm } from "../kit/lens-distances.ts";
import { whyUnusable } from "../kit/state.ts";
import type { View } from "../views/view.ts";
import { sayDistance, sayFactor } from "../words.ts";

/** What a choice of lens depends on beside the view. */
export interface LensSetting {
  readonly sensor: SensorSize;
  readonly magnification: number;
  readonly place: { readonly name: string; readonly freeMm: number };
  readonly standingRoomMm: number;
  readonly leastWorkingDistanceMm: number;
}

/** A lens of the register at this view: what it needs, and what speaks against it. */
export interface Candidate {
  readonly lens: Lens;
  readonly objectDistanceMm: number;
  /** Front of the lens to the subject; null: nobody measured it. */
  readonly workingDistanceMm: number | null;
  /** From the subject to behind the photographer. */
  readonly spaceMm: number;
  readonly against: readonly Against[];
}

interface Against {
  readonly what: "unusable" | "ratio" | "close" | "wide" | "space" | "working-distance";
  readonly says: string;
}

export type LensChoice =
  | { readonly chosen: Candidate; readonly reasons: readonly string[] }
  | { readonly chosen: null; readonly candidates: readonly Candidate[] };

/**
 * The lens for a clinical view: the shortest whose focal length is at least twice the diagonal of the sensor and that
 * the place has room for; where none is left, the longest that fits, with what that changes. Never one shorter than the
 * diagonal for a clinical view. A view of a room takes the longest that fits.
 * @source BehrAitsonHoffman (twice the diagonal of the image plane); the rest is common practice, no source
 */
export function chooseLens(view: View, setting: LensSetting, lenses: readonly Lens[]): LensChoice {
  const candidates = lenses
    .map((lens) => candidateOf(lens, view, setting))
    .sort((a, b) => a.lens.focalMm - b.lens.focalMm);
  const fitting = candidates.filter(({ against }) => against.length === 0);
  const twiceMm = twiceDiagonal(setting.sensor);
  const long = fitting.filter(({ lens }) => lens.focalMm >= twiceMm);
  const chosen = view.lens === "room" ? fitting.at(-1) : (long[0] ?? fitting.at(-1));
  if (!chosen) return { chosen: null, candidates };
  return { chosen, reasons: reasonsFor(chosen, candidates, view, setting) };
}

/** Twice the diagonal, to the half millimetre in which focal lengths are engraved. */
const twiceDiagonal = (sensor: SensorSize): number => 2 * diagonalMm(sensor) - 0.5;

function candidateOf(lens: Lens, view: View, setting: LensSetting): Candidate {
  const { magnification, sensor, place } = setting;
  const objectMm = objectDistanceMm(lens.focalMm, magnification);
  const sensorToSubjectMm = objectToImageMm(lens.focalMm, magnification, lens.hiatusMm ?? 0);
  const workingDistanceMm = frontToSubjectMm(lens, magnification);
  const spaceMm = sensorToSubjectMm + setting.standingRoomMm;
  const against: Against[] = [];
  const say = (what: Against["what"], says: string) => against.push({ what, says });
  const unusable = whyUnusable(lens);
  const ratio = formatRatio(magnification);
  if (unusable) say("unusable", `the ${lens.name} ${unusable}`);
  if (magnification > lens.greatestRatio * 1.001) {
    say("ratio", `the ${lens.name} reaches ${formatRatio(lens.greatestRatio)} at most`);
  } else if (lens.focusing === "extension" && sensorToSubjectMm < lens.closestMm * 0.98) {
    say("close", `the ${lens.name} focuses no closer than ${sayDistance(lens.closestMm)}`);
  }
  if (view.lens !== "room" && lens.focalMm < diagonalMm(sensor)) {
    say("wide", `the ${lens.name} is a wide lens, and those are not for clinical views`);
  }
  if (spaceMm > place.freeMm) {
    say("space", `${ratio} needs ${sayDistance(spaceMm)} with the ${lens.name}`);
  }
  if (workingDistanceMm !== null && workingDistanceMm < setting.leastWorkingDistanceMm) {
    say("working-distance", `the ${lens.name} would come within ${sayDistance(workingDistanceMm)}`);
  }
  return { lens, objectDistanceMm: objectMm, workingDistanceMm, spaceMm, against };
}

function reasonsFor(
  chosen: Candidate,
  candidates: readonly Candidate[],
  view: View,
  setting: LensSetting,
): string[] {
  const { lens } = chosen;
  const diagonal = diagonalMm(setting.sensor);
  if (view.lens === "room") return [`${lens.name}: the longest that this place has room for.`];
  const twice = twiceDiagonal(setting.sensor);
  const free = chosen.workingDistanceMm;
  const distance = free === null ? "" : `, ${sayDistance(free)} free before the lens`;
  if (lens.focalMm >= twice) {
    const { says } = overShorter(candidates, chosen);
    return [
      `${lens.name}: at least twice the sensor's diagonal (${(2 * diagonal).toFixed(1)} mm)${distance}.`,
      ...says,
    ];
  }
  const usual = candidates.find((one) => one.lens.focalMm >= twice);
  if (!usual)
    return [
      `${lens.name}: the longest of the register, below twice the diagonal (${(2 * diagonal).toFixed(1)} mm)${distance}.`,
    ];
  return [
    `${lens.name} from closer by: ${usual.against.map(({ says }) => says).join("; ")}${roomSaid(usual, setting)}. ${sayPerspective(usual, chosen, view)}`,
  ];
}

const roomSaid = ({ against }: Candidate, { place }: LensSetting): string =>
  against.some(({ what }) => what === "space")
    ? `, and ${place.name} gives ${sayDistance(place.freeMm)}`
    : "";

/** Why a shorter lens that would do by its focal length was passed over. */
function overShorter(candidates: readonly Candidate[], chosen: Candidate): { readonly says: string[] } {
  const passed = candidates.filter(
    ({ lens, against }) =>
      lens.focalMm < chosen.lens.focalMm && against.some(({ what }) => what === "working-distance"),
  );
  return { says: passed.map(({ against }) => `Not closer: ${against[0]!.says}.`) };
}

/** What coming closer does to the shape of the subject. */
export function sayPerspective(from: Candidate, to: Candidate, view: View): string {
  if (view.reliefMm === 0) return "";
  const change = perspectiveChange(from.objectDistanceMm, to.objectDistanceMm, view.reliefMm);
  if (Math.abs(change - 1) < 0.005) return "Perspective stays.";
  return `Perspective changes by ${sayFactor(change)} over ${sayDistance(view.reliefMm)} of depth.`;
}
