import { formatRatio } from "@samescale/optics";
import type { BedsideFrame } from "@samescale/server";
import { words } from "../../words/index.ts";

type Findings = NonNullable<BedsideFrame["judged"]>["findings"];

/** The number behind the sentence, where the sentence itself does not say it. */
export function numberBehind([first]: Findings): string | null {
  if (first?.what === "ratio")
    return words.bedside.ratio(formatRatio(first.read), formatRatio(first.planned));
  if (first?.what === "lean") return words.bedside.lean(`${Math.round(first.deg)}°`);
  return null;
}
