import assert from "node:assert/strict";
import { seededRandom } from "@samescale/geometry";
import type { ReadScale } from "../../src/answers.ts";
import type { GreyPicture } from "../../src/decode/picture.ts";
import { type FoundScales, type ReadOptions, readScale } from "../../src/scale/read-scale.ts";
import { type Drawing, localPxPerMm, type Pose, photograph, poseHomography } from "./drawn-picture.ts";

/** A drawing photographed from a pose, small and square on unless said otherwise. */
export function shoot(draw: Drawing, pose: Partial<Pose> = {}, seed = 1, noise = 2): Shown {
  const full: Pose = {
    widthPx: 900,
    heightPx: 500,
    pxPerMm: 8,
    focalPx: 2500,
    tiltDeg: 0,
    recedesDeg: 0,
    rollDeg: 4,
    centreMm: [40, 5],
    ...pose,
  };
  const mmToPx = poseHomography(full);
  const { widthPx, heightPx } = full;
  const random = seededRandom(seed);
  return {
    picture: photograph(draw, { widthPx, heightPx, mmToPx, random, noise, oversampling: 3 }),
    truth: ({ at, axisDeg }) => {
      const a = (axisDeg * Math.PI) / 180;
      return localPxPerMm(mmToPx, at.x, at.y, Math.cos(a), Math.sin(a));
    },
    pose: full,
  };
}

export interface Shown {
  readonly picture: GreyPicture;
  /** True px/mm where and in which direction a scale was read. */
  truth(scale: Pick<ReadScale, "at" | "axisDeg">): number;
  readonly pose: Pose;
}

export function found(picture: GreyPicture, options: ReadOptions = {}): FoundScales {
  const reading = readScale(picture, options);
  assert.ok(reading.found, reading.found ? "" : reading.reason);
  return reading;
}

export function errorPct(read: number, truth: number): number {
  return 100 * Math.abs(read / truth - 1);
}
