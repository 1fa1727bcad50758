import type { IncomingOrder } from "./incoming-order.ts";

type Part = IncomingOrder["parts"][number];

/** "Left foot" → foot, left. Only whole words say a side; two different ones leave the text as it is. */
export function partOfText(text: string): Part {
  const words = text.trim();
  const said = new Set(
    [...words.matchAll(/\b(left|right|both|bilateral)\b/gi)].map(([word]) => word.toLowerCase()),
  );
  const [side] = said;
  if (said.size !== 1 || side === undefined) return { part: words, side: "none" };
  const part = words
    .replace(/\b(left|right|both|bilateral)\b/gi, "")
    .replace(/\s+/g, " ")
    .replace(/^[\s,()-]+|[\s,()-]+$/g, "");
  return part === "" ? { part: words, side: "none" } : { part, side: SIDES[side] as Part["side"] };
}

const SIDES: Readonly<Record<string, Part["side"]>> = {
  left: "left",
  right: "right",
  both: "both",
  bilateral: "both",
};
