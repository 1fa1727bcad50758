import type { ReadScale, ScaleAnswer, ScaleFound } from "@samescale/picture";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { type JsonOption, jsonOption, photoArguments } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";
import { type ScaleSaidOptions, scaleSaid, scaleSaidOptions } from "../frame/scale-said.ts";

/** `samescale scale PHOTO…`: reads the scale in each photograph. */
export function configure(command: Command, exit: (code: number) => void): void {
  scaleSaidOptions(jsonOption(photoArguments(command))).action(
    async (photos: string[], options: JsonOption & ScaleSaidOptions) => {
      const said = await scaleSaid(options);
      exit(
        await answerPhotos({
          photos,
          json: options.json === true,
          run: (file, pool, signal) => pool.run("scale", { file, ...said }, signal),
          human: (answer) => humanScale(answer as ScaleAnswer),
        }),
      );
    },
  );
}

/** Where it was not the graduations themselves. */
const TOLD: Readonly<Record<NonNullable<ReadScale["unitFrom"]>, string>> = {
  graduations: "",
  numerals: " (by its numerals)",
  "two-sided": " (by its other side)",
  blocks: " (by the blocks beside)",
  code: " (by its code)",
  person: " (as you said)",
};

const told = (from: ReadScale["unitFrom"]) => (from ? TOLD[from] : "");

/** For a person: what was reached, how sure, and what to do. */
function humanScale(answer: ScaleAnswer): string {
  const file = printable(answer.file);
  if (!answer.found) return `${file}: no scale read. ${answer.reason}`;
  const lines = [`${file}: ${ratioInWords(answer)}`];
  for (const { kind, id, unit, unitFrom, pxPerMm, coverageMm, ticks, at, axisDeg } of answer.scales) {
    const figure = plusMinus(pxPerMm.value, pxPerMm.u95);
    lines.push(
      `  ${figure} px/mm: ${kind === "L" ? "leg of an L-shaped scale" : `${kind} scale`}${id ? ` ${printable(id)}` : ""} in ${unit}${told(unitFrom)}, ${ticks.length} graduations over ${coverageMm.toFixed(0)} mm, at ${at.x.toFixed(0)},${at.y.toFixed(0)}, running at ${Math.round(axisDeg) + 0}°`,
    );
  }
  if (answer.ratioFrom)
    lines.push(`  ${answer.reproductionRatio ? "ratio: " : ""}${printable(answer.ratioFrom)}`);
  for (const warning of answer.warnings) lines.push(`  ! ${printable(warning)}`);
  return lines.join("\n");
}

function ratioInWords({ reproductionRatio, plane }: ScaleFound): string {
  const ratio = reproductionRatio
    ? ratioText(reproductionRatio.value, reproductionRatio.u95)
    : "ratio not known";
  const lean = plane
    ? `, leans ${plane.tiltDeg.value.toFixed(0)}° ± ${Math.max(1, plane.tiltDeg.u95).toFixed(0)}°`
    : "";
  return ratio + lean;
}

/** 0.25 becomes 1:4, 2 becomes 2:1. */
function ratioText(magnification: number, u95: number): string {
  const relative = u95 / magnification;
  if (magnification > 1) return `(${plusMinus(magnification, u95)}):1`;
  const denominator = 1 / magnification;
  return `1:${plusMinus(denominator, denominator * relative)}`;
}

/** Both with the digits that the uncertainty supports: two of its own. */
function plusMinus(value: number, u95: number): string {
  const digits = Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(Math.max(u95, 1e-6)))));
  return `${value.toFixed(digits)} ± ${u95.toFixed(digits)}`;
}
