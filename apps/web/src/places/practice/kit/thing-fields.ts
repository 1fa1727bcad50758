import type { words } from "../../../words/index.ts";

/** What is asked of a new thing of each group, beside its name. */
export interface AskedOfThing {
  readonly field: string;
  readonly as: "text" | "number" | "list" | "yes-no" | readonly string[];
  readonly isOptional?: boolean;
}

const number = (field: string): AskedOfThing => ({ field, as: "number" });
const flashKinds = ["ring", "on-camera", "off-camera", "studio", "continuous"];
const mirrorKinds = ["floor", "hand", "occlusal", "buccal", "lingual"];

export const fieldsOfGroup: Readonly<
  Record<keyof typeof words.practice.kit.groups, readonly AskedOfThing[]>
> = {
  bodies: [
    { field: "sensor", as: "text" },
    { field: "pixels", as: "text" },
  ],
  lenses: [
    number("focalMm"),
    { field: "greatestRatio", as: "text" },
    number("closestMm"),
    number("least"),
    number("most"),
    { ...number("pupilRatio"), isOptional: true },
  ],
  flashes: [
    { field: "kind", as: flashKinds },
    { ...number("guideNumberM"), isOptional: true },
    number("leastPowerPart"),
  ],
  scales: [{ field: "kind", as: ["straight", "L", "label", "marker"] }, number("lengthMm")],
  charts: [],
  mirrors: [{ field: "kind", as: mirrorKinds }, number("widthMm"), number("heightMm")],
  retractors: [],
  drapes: [
    { field: "colour", as: "text" },
    number("widthMm"),
    number("heightMm"),
    { field: "washable", as: "yes-no" },
  ],
  labels: [],
  batteries: [{ field: "fits", as: "list" }],
  cards: [number("gigabytes")],
  wipes: [],
  others: [],
};

/** What was typed, as the register holds it. What is not right is said by the register's own rules. */
export function fieldsFrom(
  asked: readonly AskedOfThing[],
  typed: Readonly<Record<string, string>>,
): Record<string, unknown> {
  const fields: Record<string, unknown> = {};
  for (const { field, as, isOptional } of asked) {
    const plain = (typed[field] ?? "").trim();
    if (plain === "" && isOptional) {
      // Continuous light has no guide number, and says so.
      if (field === "guideNumberM") fields[field] = null;
      continue;
    }
    fields[field] =
      as === "number"
        ? numberOf(plain)
        : as === "yes-no"
          ? plain === "yes"
          : as === "list"
            ? plain.split(/[,\s]+/)
            : plain;
  }
  const { least, most, ...rest } = fields;
  return least === undefined ? rest : { ...rest, fNumbers: { least, most } };
}

const numberOf = (plain: string): number | string =>
  /^-?\d+([.,]\d+)?$/.test(plain) ? Number(plain.replace(",", ".")) : plain;
