import assert from "node:assert/strict";
import { readFile, rename, rm, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { test } from "node:test";
import { setTimeout as sleep } from "node:timers/promises";
import { SamescaleError } from "@samescale/errors";
import { type ArrivedFrame, type JudgedEvent, judgeFolder } from "../../src/index.ts";
import { emptyFolder, jpeg } from "./watched.ts";

/** A stand-in for the judge: its verdict is the first word in the file. */
async function firstWord({ judgedFile }: ArrivedFrame): Promise<string> {
  const word = (await readFile(judgedFile)).toString("latin1", 4, 68).trim();
  if (word === "damaged")
    throw new SamescaleError("PICTURE_DAMAGED", `Cannot be decoded: ${judgedFile}`, "x");
  return word;
}

const verdicts = (events: readonly JudgedEvent<string>[]) =>
  events.flatMap((event) =>
    event.kind === "judged"
      ? [`${basename(event.frame.judgedFile)} ${event.verdict}`]
      : event.kind === "failed"
        ? [`${basename(event.frame.judgedFile)} ${event.error.code}`]
        : [],
  );

test("once: every frame has a verdict or a reason, in the order of their names", async (t) => {
  const folder = await emptyFolder(t);
  for (const [n, word] of ["keep", "damaged", "repeat", "keep again"].entries())
    await writeFile(join(folder, `IMG_${n + 8}.JPG`), jpeg(word));
  const events: JudgedEvent<string>[] = [];
  for await (const event of judgeFolder(folder, { judge: firstWord, workers: 1, once: true }))
    events.push(event);
  assert.deepEqual(verdicts(events), [
    "IMG_8.JPG keep",
    "IMG_9.JPG PICTURE_DAMAGED",
    "IMG_10.JPG repeat",
    "IMG_11.JPG keep again",
  ]);
  const seconds = events.flatMap((event) => (event.kind === "judged" ? [event.seconds] : []));
  assert.ok(
    seconds.every((one) => one > 0.19 && one < 3),
    seconds.join(),
  );
});

test("a frame deleted before its verdict gets none; stopping ends everything", async (t) => {
  const folder = await emptyFolder(t);
  await writeFile(join(folder, "a.jpg"), jpeg("deleted"));
  const stop = new AbortController();
  const events: JudgedEvent<string>[] = [];
  let wasStopped = false;
  const judge = async (frame: ArrivedFrame, signal: AbortSignal) => {
    if (!frame.judgedFile.endsWith("a.jpg")) return await firstWord(frame);
    await rm(frame.judgedFile);
    await sleep(5000, undefined, { signal }).catch(() => {
      wasStopped = true;
    });
    return "never";
  };
  for await (const event of judgeFolder(folder, { judge, workers: 2, signal: stop.signal })) {
    events.push(event);
    if (event.kind === "removed") await writeFile(join(folder, "b.jpg"), jpeg("keep"));
    if (event.kind === "judged") stop.abort();
  }
  assert.ok(wasStopped);
  assert.deepEqual(
    events.map(({ kind }) => kind),
    ["frame", "removed", "frame", "judged"],
  );
  assert.deepEqual(verdicts(events), ["b.jpg keep"]);
});

test("a folder that is missing is an error to whoever asked", async (t) => {
  const nowhere = join(await emptyFolder(t), "none");
  const events = judgeFolder(nowhere, { judge: firstWord, workers: 1 });
  await assert.rejects(events.next(), { code: "FILE_MISSING" });
});

test("a frame whose folder went away before its turn is judged when the folder is back", async (t) => {
  const folder = await emptyFolder(t);
  await writeFile(join(folder, "a.jpg"), jpeg("keep"));
  const stop = new AbortController();
  let tries = 0;
  const judge = async (frame: ArrivedFrame) => {
    if (tries++ === 0) {
      await rename(folder, `${folder}-away`);
      await sleep(700); // longer than the follower needs to see it
      const error = new SamescaleError("FILE_MISSING", `There is no such file: ${frame.judgedFile}`, "x");
      setTimeout(() => rename(`${folder}-away`, folder), 300);
      throw error;
    }
    return await firstWord(frame);
  };
  const events: JudgedEvent<string>[] = [];
  const timer = setTimeout(() => stop.abort(), 15_000);
  for await (const event of judgeFolder(folder, { judge, workers: 1, signal: stop.signal, pollMs: 50 })) {
    events.push(event);
    if (event.kind === "judged") break;
  }
  clearTimeout(timer);
  assert.deepEqual(verdicts(events), ["a.jpg keep"]);
  assert.equal(tries, 2);
});
