import type { FrameDone } from "./frame-done.ts";

/** How the subject and the scale stood in the frame, in words; lean and turn with their numbers. */
export function framingKnown({ picture }: FrameDone): readonly string[] {
  const { subject, scale, leanDeg } = picture;
  const says: string[] = [];
  if (subject !== null) {
    const ends = (["left", "top", "right", "bottom"] as const).filter((side) => subject.runsOut[side] > 0.02);
    const out = ends.length > 0 ? `, running out ${ends.map((side) => SIDES[side]).join(", ")}` : "";
    says.push(
      subject.fillsFrame
        ? "Skin filled the frame."
        : `The subject took ${Math.round(100 * subject.share)} % of the frame${out}; its middle ${sayOff(subject.offCentre)}.`,
    );
  }
  if (scale !== null) says.push(`The scale lay ${sayPlace(scale.at)}${sayTurn(scale.turnedDeg)}.`);
  if (leanDeg !== null)
    says.push(`The camera leaned ${leanDeg.value.toFixed(1)}° ± ${leanDeg.u95.toFixed(1)}°.`);
  return says;
}

const SIDES = { left: "on the left", top: "above", right: "on the right", bottom: "below" } as const;

/** Shares of the frame from its middle that nobody would move for. */
const NEAR = 0.02;

function sayOff({ x, y }: { readonly x: number; readonly y: number }): string {
  const parts = [
    ...(Math.abs(x) > NEAR ? [`${Math.round(100 * Math.abs(x))} % ${x > 0 ? "right" : "left"}`] : []),
    ...(Math.abs(y) > NEAR ? [`${Math.round(100 * Math.abs(y))} % ${y > 0 ? "below" : "above"}`] : []),
  ];
  return parts.length === 0 ? "in the frame's middle" : `${parts.join(" and ")} of the frame's middle`;
}

/** In thirds of the frame. */
export function sayPlace({ x, y }: { readonly x: number; readonly y: number }): string {
  const across = x < 1 / 3 ? "left" : x > 2 / 3 ? "right" : "";
  const down = y < 1 / 3 ? "upper" : y > 2 / 3 ? "lower" : "";
  if (across === "" && down === "") return "in the middle";
  if (across === "") return down === "upper" ? "above the middle" : "below the middle";
  return down === "" ? `on the ${across}` : `in the ${down} ${across}`;
}

const sayTurn = (deg: number): string =>
  Math.abs(deg) < 1
    ? ", its edge along the frame's"
    : `, its edge turned ${Math.round(Math.abs(deg))}° ${deg > 0 ? "clockwise" : "anticlockwise"} from the frame's`;
