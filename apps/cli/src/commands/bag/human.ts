import type { BagList } from "@samescale/practice";
import { printable } from "../../frame/printable.ts";

/** What is wrong first: there may be time to put it right. */
export function bagText(
  { day: on, visits, lines, cleanBetween, minutes }: BagList,
  withoutPlan: readonly string[],
): string {
  if (visits.length === 0 && withoutPlan.length === 0) return `No visits on ${on}: nothing to pack.`;
  const faults = [
    ...withoutPlan.map((code) => `! ${code} has no plan: nothing is packed for it`),
    ...visits.flatMap(({ requestCode, refused }) => refused.map((why) => `! ${requestCode}: ${why}`)),
    ...lines.flatMap(({ what, missing, toDo }) => [
      ...(missing === null ? [] : [`! ${what}: ${missing}`]),
      ...toDo.map((says) => `! ${what}: ${says}`),
    ]),
  ];
  const staying = visits
    .filter(({ carried }) => !carried)
    .map(({ requestCode, place }) => `${requestCode} (${place})`);
  return [
    `Bag for ${on}: ${visits.map(({ requestCode, place }) => `${requestCode} ${place}`).join(", ")}; about ${Math.ceil(minutes)} minutes with the patients`,
    ...faults.map(printable),
    ...(lines.length > 0 ? ["", ...lines.map(bagLine)] : []),
    ...(staying.length > 0 ? ["", `Made where the kit stands, nothing to carry: ${staying.join(", ")}`] : []),
    ...(cleanBetween.length > 0 ? ["", `Between patients clean: ${cleanBetween.join("; ")}`] : []),
  ].join("\n");
}

function bagLine({ count, spare, what, where, for: wanted }: BagList["lines"][number]): string {
  const extra = spare > 0 ? `, ${spare} of them spare` : "";
  const place = where === null ? "" : `, from ${where}`;
  return printable(`[ ] ${String(count).padStart(3)} × ${what}${extra}${place}  (${wanted.join(", ")})`);
}
