import type { LabelAnswer } from "@samescale/picture";
import type { Command } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { type JsonOption, jsonOption, photoArguments } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

/** `samescale label PHOTO…`: codes on labels in each photograph. */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(photoArguments(command)).action(async (photos: string[], options: JsonOption) => {
    exit(
      await answerPhotos({
        photos,
        json: options.json === true,
        run: (file, pool, signal) => pool.run("label", { file }, signal),
        human: (answer) => humanLabel(answer as LabelAnswer),
      }),
    );
  });
}

function humanLabel({ file, codes, warnings }: LabelAnswer): string {
  const lines = codes.map(({ format, text, corners }) => {
    const x = Math.round(corners.reduce((sum, [cx]) => sum + cx, 0) / 4);
    const y = Math.round(corners.reduce((sum, [, cy]) => sum + cy, 0) / 4);
    return `  ${format.padEnd(10)} ${printable(text)}   at ${x},${y}`;
  });
  if (codes.length === 0) lines.push("  no code found");
  return [printable(file), ...lines, ...warnings.map((said) => `  note       ${printable(said)}`)].join("\n");
}
