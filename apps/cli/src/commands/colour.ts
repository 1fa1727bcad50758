import type { ChartEdition, ColourAnswer } from "@samescale/picture";
import { type Command, Option } from "commander";
import { answerPhotos } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, photoArguments } from "../frame/options.ts";
import { printable } from "../frame/printable.ts";

interface Options extends JsonOption {
  readonly corrected?: string;
  readonly chartEdition?: ChartEdition;
}

/** `samescale colour`: finds the 24-patch chart and says how far the colours are off (contract in docs/commands.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(photoArguments(command))
    .option("--corrected <out>", "write the corrected picture here (.jpg, .png or .tif; one photograph only)")
    .addOption(
      new Option(
        "--chart-edition <edition>",
        "which published values the chart has (without: after-2014, and a warning)",
      ).choices(["before-2014", "after-2014"]),
    )
    .action(async (photos: string[], options: Options) => {
      const { corrected, chartEdition } = options;
      if (corrected !== undefined && photos.length > 1) {
        throw CommandFailure.badArguments(
          `--corrected: expected one photograph, received ${photos.length}`,
          "Correct one photograph per call, each under its own name.",
        );
      }
      exit(
        await answerPhotos({
          photos,
          json: options.json === true,
          run: (file, pool, signal) =>
            pool.run(
              "colour",
              {
                file,
                ...(corrected === undefined ? {} : { correctedFile: corrected }),
                ...(chartEdition === undefined ? {} : { chartEdition }),
              },
              signal,
            ),
          human: (answer) => humanColour(answer as ColourAnswer),
        }),
      );
    });
}

function humanColour(answer: ColourAnswer): string {
  const file = printable(answer.file);
  if (!answer.found) return `${file}: ${answer.reason}; nothing was corrected`;
  const { before, after, crossValidated } = answer.deltaE00;
  const one = (v: number) => v.toFixed(1);
  const used = answer.patches.filter((patch) => patch.leftOut === null).length;
  const lines = [
    `${file}: chart found, ${used} of 24 patches used`,
    `  colour difference (ΔE00, mean and largest): ${one(before.mean)} and ${one(before.max)} as it is, ${one(after.mean)} and ${one(after.max)} corrected`,
    `  on patches the correction had not seen: ${one(crossValidated.mean)} and ${one(crossValidated.max)}`,
  ];
  if (answer.exposureStops !== null) {
    const stops = answer.exposureStops;
    lines.push(`  exposure by the greys: ${stops > 0 ? "+" : ""}${one(stops)} stops`);
  }
  if (answer.correctedFile) lines.push(`  written: ${printable(answer.correctedFile)}`);
  for (const warning of answer.warnings) lines.push(`  ! ${warning}`);
  return lines.join("\n");
}
