import type { FrameDone } from "./frame-done.ts";

/** The light of a frame, as far as it is known; one sentence each. */
export interface LightKnown {
  readonly known: readonly string[];
  readonly notKnown: readonly string[];
}

/** What plan, file and picture tell of the light. No camera writes down where a lamp stood. */
export function lightKnown({ planned, picture, file }: FrameDone): LightKnown {
  const known = [`${planned.light.name}, by the plan: ${planned.light.placement}`];
  const notKnown: string[] = [];
  const written = [
    ...(file.flashFired === null ? [] : [file.flashFired ? "the flash fired" : "no flash fired"]),
    ...(file.exposureS === null ? [] : [sayExposure(file.exposureS)]),
    ...(file.fNumber === null ? [] : [`f/${file.fNumber}`]),
    ...(file.iso === null ? [] : [`ISO ${file.iso}`]),
  ];
  if (written.length > 0) known.push(`By the file: ${written.join(", ")}.`);
  const unwritten = [
    ...(file.flashFired === null ? ["whether a flash fired"] : []),
    ...(file.exposureS === null || file.iso === null ? ["the exposure"] : []),
  ];
  if (file.flashFired !== false) unwritten.push("the power of the flash and where it stood");
  if (picture.light === null) unwritten.push("which side the light came from");
  else {
    const { fromDeg, u95Deg, stops } = picture.light;
    known.push(
      stops.value <= stops.u95
        ? "By the picture: even, from no side that could be told."
        : `By the picture: from ${sayDirection(fromDeg)} (± ${Math.round(u95Deg)}°), ${stops.value.toFixed(1)} stops from the bright to the dark side.`,
    );
  }
  if (unwritten.length > 0) notKnown.push(`Not known: ${unwritten.join(", ")}.`);
  return { known, notKnown };
}

const sayExposure = (seconds: number): string =>
  seconds >= 0.4 ? `${Number(seconds.toPrecision(2))} s` : `1/${Math.round(1 / seconds)} s`;

const DIRECTIONS = [
  "the right",
  "the lower right",
  "below",
  "the lower left",
  "the left",
  "the upper left",
  "above",
  "the upper right",
] as const;

/** 0 = right, 90 = below, as in the upright picture. */
const sayDirection = (deg: number): string => DIRECTIONS[((Math.round(deg / 45) % 8) + 8) % 8]!;
