import { type MarkerKind, markerDesign, parseScaleId } from "@samescale/marker";

/** What an id that somebody typed stands for. */
export type ScaleToMeasure =
  | { readonly isPrinted: true; readonly id: string; readonly kind: MarkerKind; readonly nominalMm: number }
  /** A bought scale under a name of the department's own, or a slip in a printed one's id: the record tells them apart. */
  | { readonly isPrinted: false; readonly id: string };

export function scaleToMeasure(typed: string): ScaleToMeasure {
  const own = parseScaleId(typed);
  if (!own) return { isPrinted: false, id: typed.trim() };
  const { nominalMm } = markerDesign(own.kind, own.id);
  return { isPrinted: true, id: own.id, kind: own.kind, nominalMm };
}
