import { type BodyMark, sayMark } from "./body-chart.ts";
import type { REQUEST_SIDES } from "./request-details.ts";

type Side = (typeof REQUEST_SIDES)[number];

/** A part as a request names it. */
export interface MarkedPart {
  readonly part: string;
  readonly side: Side;
}

/** The part on which a mark lies, by the words for it; null: beside the body. */
export function partOfMark(mark: BodyMark): MarkedPart | null {
  const words = sayMark(mark);
  const [place = ""] = words.split(", ");
  if (place.startsWith("beside the body")) return null;
  const side = words.match(/\b(left|right)\b/)?.[1] as "left" | "right" | undefined;
  const part = place.replace(/\b(of the )?(left|right) /, (_all, of: string | undefined) => of ?? "").trim();
  return { part, side: side ?? "none" };
}

/** Whether the mark lies on the other side than the one that is said. Left for right is the mistake that harms. */
export function isOnOtherSide(mark: BodyMark, side: Side): boolean {
  const marked = partOfMark(mark)?.side;
  return (side === "left" && marked === "right") || (side === "right" && marked === "left");
}
