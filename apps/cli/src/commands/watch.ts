import {
  openDesk,
  statedPlan,
  type WatchLine,
  type WatchPlan,
  watchFolder,
  watchPlanOf,
} from "@samescale/desk";
import { parseRatio, parseSensorSize, type SensorSize } from "@samescale/optics";
import type { PicturePool } from "@samescale/picture";
import type { Command } from "commander";
import { withPool } from "../frame/answer-photos.ts";
import { CommandFailure } from "../frame/failure.ts";
import { between, type JsonOption, libraryOption, practiceOption } from "../frame/options.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import { streamLines } from "../frame/stream-lines.ts";
import { thisPerson } from "../frame/this-person.ts";
import { watchLineText } from "./watch/human.ts";

interface Options extends JsonOption {
  readonly library: string;
  readonly practice?: string;
  readonly request?: string;
  readonly ratio?: number;
  readonly focalMm?: number;
  readonly sensor?: SensorSize;
  readonly once?: true;
}

/** `samescale watch`: every frame judged as it arrives (contract; docs/methods/bedside.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  libraryOption(
    practiceOption(command.argument("<folder>", "folder that a camera, a card reader or a receiver fills")),
  )
    .option("--request <code>", "judge against the plan of this request")
    .option("--ratio <ratio>", "without a request: judge against this ratio, as 1:4", ratio)
    .option("--focal-mm <mm>", "focal length, with --ratio", between("--focal-mm", 1, 5000))
    .option("--sensor <mm>", "sensor, width x height in mm (without: as the files say)", sensor)
    .option("--once", "judge what is there and end")
    .option("--json", "one JSON object per line and frame")
    .action(async (folder: string, options: Options) => {
      let unreadable = 0;
      const status = await withPool(Number.POSITIVE_INFINITY, async (pool) => {
        const [plan] = await Promise.all([planFor(pool, options), ...(options.once ? [] : [warmed(pool)])]);
        return streamLines<WatchLine>({
          async *lines(signal) {
            for await (const line of linesOf(folder, pool, plan, options, signal)) {
              if ("error" in line) unreadable++;
              yield line;
            }
          },
          json: options.json === true,
          human: watchLineText,
          clearProgress: () => {},
        });
      });
      exit(status !== 0 ? status : unreadable > 0 ? 1 : 0);
    });
}

/** While the photographer makes ready, the threads do. */
async function warmed(pool: PicturePool): Promise<void> {
  await (await import("@samescale/picture")).warmUp(pool);
}

async function planFor(pool: PicturePool, options: Options): Promise<WatchPlan> {
  const { request, ratio: magnification, focalMm, sensor: size = null } = options;
  if ((request === undefined) === (magnification === undefined)) {
    throw CommandFailure.badArguments(
      "Expected either --request or --ratio",
      "Type --request R-17, or --ratio 1:4 --focal-mm 100.",
    );
  }
  if (magnification !== undefined) {
    if (focalMm === undefined) {
      throw CommandFailure.badArguments(
        "--ratio: expected with --focal-mm, to say how far to move",
        "Add --focal-mm 100.",
      );
    }
    const { practice, folder } = await practiceInUse(options);
    return statedPlan({ magnification, focalMm, sensor: size }, practice, folder);
  }
  const desk = await openDesk(options.library, { mode: "read" });
  try {
    const { practice, folder } = await practiceInUse(options);
    return await watchPlanOf(desk, await thisPerson(desk), pool, request!, practice, folder);
  } finally {
    await desk.close();
  }
}

/** With --json frames alone are lines; what happens to the folder goes to standard error. */
async function* linesOf(
  folder: string,
  pool: PicturePool,
  plan: WatchPlan,
  { once, json }: Options,
  signal: AbortSignal,
): AsyncGenerator<WatchLine> {
  let missing: readonly string[] = plan.views.map(({ view }) => view.key);
  for await (const line of watchFolder(folder, pool, plan, { signal, ...(once && { once }) })) {
    const isFrame = "verdict" in line || "error" in line;
    if ("verdict" in line) missing = line.missing;
    if (json && !isFrame) process.stderr.write(`${watchLineText(line)}\n`);
    else yield line;
  }
  if (!json && plan.requestCode !== null) {
    const names = plan.views.filter(({ view }) => missing.includes(view.key)).map(({ view }) => view.name);
    process.stdout.write(
      names.length === 0 ? "Every view is made.\n" : `Still missing: ${names.join(", ")}.\n`,
    );
  }
}

function ratio(text: string): number {
  return asBadArgument("--ratio", () => parseRatio(text));
}

function sensor(text: string): SensorSize {
  return asBadArgument("--sensor", () => parseSensorSize(text));
}

function asBadArgument<T>(flag: string, read: () => T): T {
  try {
    return read();
  } catch (thrown) {
    const { message, help } = CommandFailure.from(thrown, flag).report;
    throw CommandFailure.badArguments(`${flag}: ${message}`, help);
  }
}
