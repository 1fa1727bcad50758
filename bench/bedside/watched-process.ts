import { copyFile, mkdir, rename } from "node:fs/promises";
import { basename, join } from "node:path";
import { type WatchedFrame, watchFolder } from "../../packages/desk/src/bedside/watch-folder.ts";
import { statedPlan } from "../../packages/desk/src/bedside/watch-plan.ts";
import { practiceFolderFor, readPracticeFolder } from "../../packages/desk/src/practice/practice-folder.ts";
import { decodePicture } from "../../packages/picture/src/decode/decode.ts";
import { createPicturePool, warmUp } from "../../packages/picture/src/index.ts";

/** What one process saw: frames one by one, then many at once. */
export interface Watched {
  /** Wall seconds from the file's being whole to its verdict, first frame first. */
  readonly single: readonly number[];
  readonly verdicts: readonly string[];
  /** Decoding the same files, alone. */
  readonly decode: readonly number[];
  /** In the order in which the verdicts came: place by newness (0 newest), seconds. */
  readonly burst: readonly { readonly newness: number; readonly seconds: number }[];
  readonly peakMb: number;
}

/** Runs in a process of its own, so that its memory is its own: FOLDER PICTURE… */
const [folder, ...files] = process.argv.slice(2) as [string, ...string[]];
const practiceFolder = await practiceFolderFor(undefined, null);
const practice = await readPracticeFolder(practiceFolder);
const stated = { magnification: 0.25, focalMm: 100, sensor: { widthMm: 36, heightMm: 24 } };
const plan = await statedPlan(stated, practice, practiceFolder);
const pool = createPicturePool();
await warmUp(pool);

const decode: number[] = [];
for (const file of files.slice(0, 8)) {
  const start = performance.now();
  await decodePicture(file);
  decode.push((performance.now() - start) / 1000);
}

const HALF = files.length / 2;
const one = await watched(join(folder, "one"), files.slice(0, HALF), true);
const many = await watched(join(folder, "many"), files.slice(HALF), false);
const answer: Watched = {
  single: one.map(({ seconds }) => seconds),
  verdicts: [...new Set(one.map(({ verdict, say }) => `${verdict}: ${say}`))],
  decode,
  burst: many.map(({ file, seconds }) => ({
    newness: HALF - 1 - files.slice(HALF).findIndex((path) => basename(path) === basename(file)),
    seconds,
  })),
  peakMb: process.resourceUsage().maxRSS / 1000,
};
process.stdout.write(JSON.stringify(answer));
await pool.close();

/** Frames arrive under a passing name and are renamed when they are whole. */
async function watched(
  into: string,
  pictures: readonly string[],
  oneByOne: boolean,
): Promise<WatchedFrame[]> {
  await mkdir(into);
  const stop = new AbortController();
  const lines = watchFolder(into, pool, plan, { signal: stop.signal });
  const seen: WatchedFrame[] = [];
  const arrive = async (file: string) => {
    const passing = join(into, `.${basename(file)}.part`);
    await copyFile(file, passing);
    await rename(passing, join(into, basename(file)));
  };
  const next = async () => {
    const { value, done } = await lines.next();
    if (done || !("verdict" in value)) throw new Error(JSON.stringify(value));
    seen.push(value);
  };
  for (const file of pictures) {
    await arrive(file);
    if (oneByOne) await next();
  }
  while (seen.length < pictures.length) await next();
  stop.abort();
  await lines.return(undefined);
  return seen;
}
