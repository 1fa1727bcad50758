import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parentPort, workerData } from "node:worker_threads";
import { labelsOfFile } from "../../packages/picture/src/label/labels-of-file.ts";
import { sceneJpeg } from "../../packages/picture/test/label/scene.ts";
import { type Case, casesOf, numbersFrom } from "./cases.ts";

/** One code that is in a picture, and what became of it; `wrong`: texts read that nobody printed. */
export interface Row {
  readonly seed: number;
  readonly condition: string;
  readonly level: string;
  readonly format: string;
  readonly found: boolean;
  readonly wrong: readonly string[];
  readonly warned: boolean;
  readonly ms: number;
}

const { firstSeed, keepIn, only } = workerData as {
  readonly firstSeed: number;
  readonly keepIn?: string;
  readonly only?: string;
};
const folder = keepIn ?? mkdtempSync(join(tmpdir(), "label-bench-"));
const known = new Map<number, Case[]>();

/** The cases of a seed are numbered one after another, a thousand numbers a seed. */
parentPort?.on("message", async (number: number) => {
  const seed = firstSeed + Math.floor(number / 1000);
  const cases = known.get(seed) ?? casesOf(seed);
  known.set(seed, cases);
  const one = cases[number % 1000];
  if (!one || (only && !`${one.condition} ${one.level}`.includes(only))) {
    parentPort?.postMessage([]);
    return;
  }
  const file = join(
    folder,
    `${number}-${one.condition.replaceAll(/\W/g, "-")}-${one.level}-${one.formats[0]}.jpg`,
  );
  writeFileSync(file, await sceneJpeg(one.scene, numbersFrom(number)));
  const startMs = performance.now();
  const { codes, warnings } = await labelsOfFile({ file });
  const ms = performance.now() - startMs;
  if (!keepIn) rmSync(file);
  const texts = codes.map(({ text }) => text);
  const wrong = texts.filter((text) => !one.texts.includes(text));
  const rows = one.formats.map((format, i): Row => {
    const { condition, level } = one;
    const found = texts.includes(one.texts[i]!);
    return {
      seed,
      condition,
      level,
      format,
      found,
      wrong: i === 0 ? wrong : [],
      warned: warnings.length > 0,
      ms,
    };
  });
  parentPort?.postMessage(rows);
});
