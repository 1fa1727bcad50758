import type { ViewSetToEdit } from "@samescale/server";
import type { words } from "../../../words/index.ts";

/** How one field of a view is asked for. */
export type AskedAs =
  | { readonly as: "text" | "lines" | "number" | "list" | "cautions" }
  | {
      readonly as: "choice";
      readonly of: readonly string[];
      readonly names?: Readonly<Record<string, string>>;
    };

export interface AskedField {
  readonly field: string;
  readonly asked: AskedAs;
}

const text = { as: "text" } as const;
const lines = { as: "lines" } as const;
const number = { as: "number" } as const;
const choice = (...of: string[]): AskedAs => ({ as: "choice", of });

/** The fields of a view, in the order in which a picture is thought of. */
export function fieldsOf(
  { choices, views }: ViewSetToEdit,
  viewKey: string,
): readonly (readonly [keyof typeof words.practice.views.groups, readonly AskedField[]])[] {
  const lights = Object.fromEntries(choices.lights.map(({ key, name }) => [key, name]));
  const others = views.map(({ key }) => key).filter((key) => key !== viewKey);
  const fields = (asked: Readonly<Record<string, AskedAs>>): AskedField[] =>
    Object.entries(asked).map(([field, as]) => ({ field, asked: as }));
  return [
    [
      "frame",
      fields({
        name: text,
        ratio: text,
        orientation: choice("landscape", "portrait"),
        side: choice(...choices.sides),
        part: text,
        aspect: text,
        figure: choice("", ...choices.figures),
        minutes: number,
      }),
    ],
    [
      "patient",
      fields({
        position: lines,
        landmarks: { as: "list" },
        cameraHeight: text,
        cameraAngle: text,
        referenceLine: choice(...choices.referenceLines),
      }),
    ],
    [
      "lens",
      fields({
        lens: choice("clinical", "portrait", "room"),
        fNumber: number,
        depthMm: number,
        reliefMm: number,
        onSmallerSensor: choice("same-field", "same-ratio"),
      }),
    ],
    [
      "light",
      fields({
        light: { as: "choice", of: choices.lights.map(({ key }) => key), names: lights },
        backdrop: text,
      }),
    ],
    [
      "scale",
      fields({
        scale: choice(...choices.scales),
        scaleWhere: text,
        scalePlane: text,
        mirror: choice(...choices.mirrors),
        chart: choice("none", "in-frame", "own-frame"),
        pairOf: choice("", ...others),
        bordersCrossed: number,
      }),
    ],
    [
      "care",
      fields({
        cautions: { as: "cautions" },
        chaperone: choice("not-needed", "offer"),
        identifiable: choice("true", "false"),
        hands: text,
        jewellery: text,
        instructions: lines,
      }),
    ],
  ];
}

/** What stands in a field while it is typed. */
export function typedOf(value: unknown): string {
  if (value === undefined || value === null) return "";
  return Array.isArray(value) ? value.join("\n") : String(value);
}

/** What was typed, as it stands in the file; null: left out. */
export function meantBy(typed: string, { as }: AskedAs): unknown {
  const plain = typed.trim();
  if (as === "list")
    return typed
      .split("\n")
      .map((one) => one.trim())
      .filter((one) => one !== "");
  if (plain === "") return null;
  if (as === "number" && /^-?\d+([.,]\d+)?$/.test(plain)) return Number(plain.replace(",", "."));
  if (as === "choice" && (plain === "true" || plain === "false")) return plain === "true";
  return as === "text" || as === "lines" ? typed.replace(/\s+/g, " ").trimStart() : plain;
}
