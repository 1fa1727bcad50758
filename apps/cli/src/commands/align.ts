import { existsSync } from "node:fs";
import { readFile } from "node:fs/promises";
import type { AlignAnswer, Aligned, AlignInput, PicturePool, ScaleAnswer } from "@samescale/picture";
import type { Command } from "commander";
import { answerEach, write } from "../frame/answer-each.ts";
import { withPool } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { type JsonOption, jsonOption, positive } from "../frame/options.ts";
import { pointsFrom } from "../frame/points-file.ts";
import { printable } from "../frame/printable.ts";
import { regionsFrom } from "../frame/regions-file.ts";

interface Options extends JsonOption {
  readonly points?: string;
  readonly scales?: string;
  readonly sensorWidthMm?: number;
  readonly pictures?: string;
  readonly leaveOutBaseline?: string;
  readonly leaveOutFollowup?: string;
  readonly bend?: true;
}

/** `samescale align`: lays follow-ups over a baseline (contract in docs/commands.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  jsonOption(command)
    .argument("<baseline>", "the first photograph of the series")
    .argument("<followup...>", "later photographs of the same view")
    .option(
      "--points <file>",
      "points that a person matched: [[bx,by,fx,fy],…], at least 3 (one follow-up only)",
    )
    .option(
      "--scales <file>",
      "lines printed by samescale scale for these photographs; auto reads them now: their answer beside the skin's",
    )
    .option("--sensor-width-mm <mm>", "width of the sensor (long side)", positive("--sensor-width-mm"))
    .option(
      "--leave-out-baseline <file>",
      "regions of the baseline that must not count, such as the wound: as for samescale measure --outline",
    )
    .option("--leave-out-followup <file>", "the same of the follow-up (one follow-up only)")
    .option(
      "--bend",
      "bend the follow-up smoothly where the surface is no plane, outside --leave-out-baseline: to look at only",
    )
    .option(
      "--pictures <folder>",
      "make a folder of pictures to compare by: side by side, blink, split line, difference, all visits",
    )
    .action(async (baseline: string, followups: string[], options: Options) => {
      const { sensorWidthMm, pictures } = options;
      const points = options.points === undefined ? undefined : await pointsFrom(options.points);
      if (points && followups.length > 1) {
        throw CommandFailure.badArguments(
          `--points: expected one follow-up, received ${followups.length}`,
          "Points belong to one pair of photographs: align one follow-up per call.",
        );
      }
      const leftOut = await leftOutFrom(options, followups.length);
      if (pictures !== undefined && existsSync(pictures)) {
        throw CommandFailure.badArguments(
          `--pictures: there is something of that name already: ${printable(pictures)}`,
          "Name a folder that does not exist yet; nothing is written over.",
        );
      }
      const sensor = sensorWidthMm === undefined ? {} : { sensorWidthMm };
      exit(
        await withPool(followups.length, async (pool) => {
          const scaleOf = await scaleReader(options.scales, pool, sensor);
          const answers = new Map<string, AlignAnswer>();
          const status = await answerEach({
            inputs: followups,
            atOnce: pool.threads,
            json: options.json === true,
            run: async (followup, signal) => {
              const scales = scaleOf && {
                baseline: await scaleOf(baseline),
                followup: await scaleOf(followup),
              };
              const answer = await pool.run(
                "align",
                {
                  baseline,
                  followup,
                  ...sensor,
                  ...leftOut,
                  ...(points && { points }),
                  ...(scales && { scales }),
                },
                signal,
              );
              answers.set(followup, answer);
              return answer;
            },
            identity: (followup) => ({ baseline, followup }),
            human: (answer) => humanAlign(answer as AlignAnswer),
          });
          const answered = followups.flatMap((followup) => answers.get(followup) ?? []);
          if (pictures === undefined || answered.length === 0 || status > 1) return status;
          await drawPictures(pool, pictures, baseline, answered, scaleOf);
          if (!options.json) await write(`pictures to compare by: ${printable(pictures)}\n`);
          return status;
        }),
      );
    });
}

async function drawPictures(
  pool: PicturePool,
  folder: string,
  baseline: string,
  followups: readonly AlignAnswer[],
  scaleOf: ScaleReader | null,
): Promise<void> {
  const scales = scaleOf && {
    baselineScale: await scaleOf(baseline),
    followupScales: await Promise.all(followups.map(({ followup }) => scaleOf(followup))),
  };
  try {
    await pool.run("comparison-pictures", { baseline, followups, folder, ...scales });
  } catch (thrown) {
    throw CommandFailure.from(thrown, folder);
  }
}

/** Without an outline nothing may bend: it could be the wound that bends. */
async function leftOutFrom(options: Options, followups: number): Promise<LeftOut> {
  const { leaveOutBaseline, leaveOutFollowup, bend } = options;
  if (leaveOutFollowup !== undefined && followups > 1) {
    throw CommandFailure.badArguments(
      `--leave-out-followup: expected one follow-up, received ${followups}`,
      "Regions belong to one photograph: align one follow-up per call.",
    );
  }
  if (bend && leaveOutBaseline === undefined) {
    throw CommandFailure.badArguments(
      "--bend: expected --leave-out-baseline with it",
      "Give the wound's outline in the baseline: nothing is bent under it, so that its healing is not hidden.",
    );
  }
  return {
    ...(leaveOutBaseline !== undefined && {
      ignoreBaseline: await regionsFrom("--leave-out-baseline", leaveOutBaseline),
    }),
    ...(leaveOutFollowup !== undefined && {
      ignoreFollowup: await regionsFrom("--leave-out-followup", leaveOutFollowup),
    }),
    ...(bend && { bend }),
  };
}

type LeftOut = Pick<AlignInput, "ignoreBaseline" | "ignoreFollowup" | "bend">;

type ScaleReader = (photo: string) => Promise<ScaleAnswer>;

/** Reads each photograph's scale once, or finds it among the lines of a file. */
async function scaleReader(
  option: string | undefined,
  pool: PicturePool,
  sensor: { readonly sensorWidthMm?: number },
): Promise<ScaleReader | null> {
  if (option === undefined) return null;
  if (option !== "auto") {
    const given = await readingsFrom(option);
    return async (photo) => {
      const reading = given.get(photo);
      if (reading) return reading;
      throw CommandFailure.badArguments(
        `--scales: no line of ${printable(option)} is about ${printable(photo)}`,
        "Read both photographs with samescale scale --json, named as they are here, or type --scales auto.",
      );
    };
  }
  const readings = new Map<string, Promise<ScaleAnswer>>();
  return (photo) => {
    const reading = readings.get(photo) ?? pool.run("scale", { file: photo, ...sensor });
    readings.set(photo, reading);
    return reading;
  };
}

async function readingsFrom(file: string): Promise<ReadonlyMap<string, ScaleAnswer>> {
  const { scaleFromJson } = await import("@samescale/picture");
  const lines = (await textOf(file)).split("\n").filter((line) => line.trim() !== "");
  return new Map(
    lines.map((line, i) => {
      const reading = scaleFromJson(
        parsed(line, `--scales: line ${i + 1} is not JSON`, file),
        `${file}, line ${i + 1}`,
      );
      return [reading.file, reading];
    }),
  );
}

async function textOf(file: string): Promise<string> {
  try {
    return await readFile(file, "utf8");
  } catch (thrown) {
    throw CommandFailure.from(thrown, file);
  }
}

function parsed(text: string, fault: string, file: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw CommandFailure.badArguments(
      `${fault}: ${printable(file)}`,
      "Give the file that was asked for; see samescale align --help.",
    );
  }
}

function humanAlign(answer: AlignAnswer): string {
  const who = `${printable(answer.followup)} over ${printable(answer.baseline)}`;
  if (!answer.aligned) {
    return `${who}: not aligned: ${answer.reason}\n  Mark three or more points in both pictures and give them with --points.`;
  }
  const lines = [
    `${who}: aligned on ${answer.matches} places, ${answer.residualPx.toFixed(1)} px apart on average`,
    ...framed(answer),
    ...ratios(answer),
    ...bent(answer),
  ];
  for (const warning of answer.warnings) lines.push(`  ! ${printable(warning)}`);
  return lines.join("\n");
}

function framed({ framing, overlap }: Aligned): string[] {
  const shows = `it covers ${Math.round(100 * overlap)} % of the baseline`;
  if (!framing || framing.words.length === 0) return [`  framed as the baseline was; ${shows}`];
  return [
    `  against the baseline the camera was ${framing.words.join(", ")}; ${shows}`,
    `  to repeat the baseline: ${framing.doNow.join(" ")}`,
  ];
}

function ratios({ sameRatio }: Aligned): string[] {
  if (!sameRatio) return [];
  const says = ({ value, u95 }: { value: number; u95: number }) =>
    `${(100 * (value - 1)).toFixed(1)} ± ${(100 * u95).toFixed(1)} %`;
  return [
    `  larger in the follow-up by the skin: ${says(sameRatio.bySkin)}, by the two scales: ${says(sameRatio.byScales)}`,
  ];
}

function bent({ bending }: Aligned): string[] {
  if (!bending) return [];
  return bending.used ? [] : [`  nothing was bent: ${bending.why}`];
}
