import { numberInCode, readPracticeFolder } from "@samescale/desk";
import type { LabelAnswer } from "@samescale/picture";
import {
  type FittingNumber,
  type PatientNumberFormat,
  patientNumberFormatSchema,
  patientNumberOf,
} from "@samescale/practice";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, photoArguments } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface Options extends JsonOption {
  readonly practice?: string;
  readonly numberFormat?: readonly PatientNumberFormat[];
}

type Code = LabelAnswer["codes"][number] & {
  /** Whether the code is a patient's number as the department writes them; with `--number-format` or `--practice` only. */
  readonly patientNumber?: FittingNumber | null;
};
type Answer = Omit<LabelAnswer, "codes"> & { readonly codes: readonly Code[] };

/** `samescale label PHOTO…`: codes on labels in each photograph. */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(photoArguments(command))
    .option(
      "--number-format <pattern[:check]>",
      "how patients' numbers are written, such as AA999999 or 9999999999:mod11 (repeatable)",
      numberFormat,
    )
    .option("--practice <folder>", "take the formats of patients' numbers from this practice as well")
    .action(async (photos: string[], { json, numberFormat: typed = [], practice: folder }: Options) => {
      const ofPractice = folder === undefined ? [] : (await readPracticeFolder(folder)).patientNumberFormats;
      const formats = [...typed, ...ofPractice];
      exit(
        await answerPhotos({
          photos,
          json: json === true,
          run: async (file, pool, signal): Promise<Answer> => {
            const answer = await pool.run("label", { file }, signal);
            return formats.length > 0
              ? { ...answer, codes: answer.codes.map((code) => numbered(code, formats)) }
              : answer;
          },
          human: (answer) => humanLabel(answer as Answer),
        }),
      );
    });
}

function numbered(code: Code, formats: readonly PatientNumberFormat[]): Code {
  const number = numberInCode(code);
  return { ...code, patientNumber: number === null ? null : patientNumberOf(number, formats) };
}

/** The part behind the last colon is the check; a pattern has no colon. */
function numberFormat(typed: string, before: readonly PatientNumberFormat[] = []): PatientNumberFormat[] {
  const [pattern = "", check] = typed.split(":", 2);
  const read = patientNumberFormatSchema.safeParse({ name: pattern, pattern, check });
  if (read.success) return [...before, read.data];
  const [fault] = read.error.issues;
  throw CommandFailure.badArguments(
    `--number-format ${typed}: ${fault?.message}`,
    "Type for example --number-format \"'HN'99999\" or --number-format 9999999999:mod11.",
  );
}

function humanLabel({ file, codes, warnings }: Answer): string {
  const lines = codes.flatMap(({ format, text, corners, gs1, patientNumber }) => {
    const x = Math.round(corners.reduce((sum, [cx]) => sum + cx, 0) / 4);
    const y = Math.round(corners.reduce((sum, [, cy]) => sum + cy, 0) / 4);
    return [
      `  ${format.padEnd(10)} ${printable(text)}   at ${x},${y}`,
      ...(gs1 ?? []).map(
        ({ ai, name, value, checkDigit }) =>
          `             (${ai}) ${name}: ${printable(value)}${checkDigit ? `, check digit ${checkDigit}` : ""}`,
      ),
      ...(patientNumber ? [`             ${sayNumber(patientNumber)}`] : []),
    ];
  });
  if (codes.length === 0) lines.push("  no code found");
  return [printable(file), ...lines, ...warnings.map((said) => `  note       ${printable(said)}`)].join("\n");
}

const sayNumber = ({ format, number, check }: FittingNumber): string =>
  check === "wrong"
    ? `written like a patient number (${printable(format)}), but its check digit is wrong: ${printable(number)}`
    : `a patient number (${printable(format)}): ${printable(number)}${check === "right" ? ", check digit right" : ""}`;
