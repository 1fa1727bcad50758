import type { EdgeReading } from "./edge-reading.ts";
import type { ScaleKind } from "./person/kinds.ts";

/** Gain that says "divided evenly", below what says by which unit. */
const SOMETHING_SCORE = 18;
const HELP = "Name the kind of scale, or mark two points whose distance you know.";

/** Why no scale was read, and what would help. */
export function whyNotFound(edges: readonly EdgeReading[], kind: ScaleKind | undefined): string {
  if (kind)
    return `No scale of the kind you named (${kind}) was found. Mark two points whose distance you know.`;
  if (edges.some((e) => e.marks === "blocks")) {
    return `Alternating blocks were found, but nothing tells how long a block is. ${HELP}`;
  }
  const divided = edges.some((e) => {
    return e.judgement.verdict === "binary" || (e.units[0]?.score ?? 0) > SOMETHING_SCORE;
  });
  if (divided) return `Something is divided evenly, but its long bars do not tell the unit. ${HELP}`;
  if (edges.some((e) => e.marks === "lone bars")) {
    return `Evenly spaced single graduations were found, but nothing tells how far apart they are. ${HELP}`;
  }
  return "No ruler's graduations were found. Mark two points whose distance you know.";
}
