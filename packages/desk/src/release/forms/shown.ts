import type { Side } from "@samescale/exchange";
import type { FormContext, OutgoingFrame } from "../form.ts";

/** Which part of the body a frame shows: as the view says, or the request where it asks for one part only. */
export function shownPart(
  { view }: Pick<OutgoingFrame, "view">,
  { request }: Pick<FormContext, "request">,
): { readonly part: string | null; readonly side: Side } {
  const only = request.parts.length === 1 ? request.parts[0]! : null;
  if (view === null) return { part: only?.part ?? null, side: sideOf(only?.side) };
  const asked = request.parts.find(({ part }) => part === view.part) ?? only;
  return { part: view.part, side: sideOf(view.side) ?? sideOf(asked?.side) };
}

const sideOf = (side: string | undefined): Side =>
  side === "left" || side === "right" || side === "both" ? side : null;

/** "plane" and "local-scale" for whoever reads a report. */
export const METHOD_WORDS = {
  plane: "In the plane of the scale in the picture",
  "local-scale": "By the scale's own size where it lies; no plane was known",
} as const;
