import { type Measured, seededRandom } from "../../packages/geometry/src/index.ts";
import type { ScaleReading } from "../../packages/picture/src/scale/read-scale.ts";
import { SCALE_TOLERANCE_U } from "../../packages/picture/src/scale/tolerance.ts";
import type { Truth } from "../../packages/simulator/src/index.ts";
import { facingPxPerMm, scaleThere } from "./local-truth.ts";
import type { Against, Row } from "./row.ts";

type Judged = Pick<Row, "answer" | "says" | "scales" | "facing" | "leanDeg">;

/** A reading against what is true of the picture. */
export function judged(reading: ScaleReading, truth: Truth): Judged {
  if (!reading.found)
    return { answer: "not found", says: [reading.reason], scales: [], facing: null, leanDeg: null };
  const made = madeError(truth.seed);
  const against = ({ value, u95 }: Measured, true_: number | null): Against => {
    return { value, u95, truth: true_, asMade: true_ === null ? null : true_ / (1 + made) };
  };
  const places = reading.scales.map((scale) => scaleThere(truth, scale.at, scale.axisDeg));
  const thing = places[0]?.thing ?? null;
  const { plane, scales, warnings, facingPxPerMm: facing } = reading;
  // With a plane it is told of the picture's middle, else of the scale.
  const facingTruth = thing && facingPxPerMm(truth, thing, plane ? undefined : scales[0]!.at);
  const lean = thing?.leanDeg ?? null;
  return {
    answer: warnings.length > 0 ? "warned" : "found",
    says: warnings,
    scales: scales.map(({ pxPerMm, unit, kind }, i) => {
      return {
        ...against(pxPerMm, places[i]?.pxPerMm ?? null),
        unit,
        kind,
        exact: places[i]?.exact ?? false,
      };
    }),
    facing: facingTruth ? against(facing, facingTruth) : null,
    leanDeg: plane && lean !== null ? { ...plane.tiltDeg, truth: lean, asMade: lean } : null,
  };
}

/**
 * No scale is made perfectly. The simulator draws them so; how much longer this one was made than meant is drawn from
 * the tolerance that the reading assumes. That changes no pixel, only what a pixel stands for.
 */
function madeError(seed: number): number {
  const random = seededRandom(seed ^ 0x5ca1e);
  const normal = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return SCALE_TOLERANCE_U * normal;
}
