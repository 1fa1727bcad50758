import assert from "node:assert/strict";
import { readlinkSync } from "node:fs";
import { type FileHandle, open, readdir, rename } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import { openDesk, takeIn } from "../../src/index.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  HAND_LABEL,
  LEG_LABEL,
  MARA,
  madeUpPictures,
  makeCard,
  NOON,
  placings,
  statesOf,
  summaryOf,
  takeAll,
  temporaryFolder,
} from "../support.ts";
import { at } from "./morning.ts";

const padding = 3_000_000;
const TWO_PATIENTS = {
  "DSC_0001.JPG": { taken: at(0), codes: [LEG_LABEL] },
  "DSC_0002.JPG": { taken: at(1) },
  "DSC_0003.JPG": { taken: at(2), codes: [HAND_LABEL], padding },
  "DSC_0004.JPG": { taken: at(3) },
};

/** Makes reading a file fail with this fault behind its first megabyte, as a card with a bad block does. */
async function failReading(t: TestContext, path: string, code: string): Promise<() => void> {
  if (process.platform !== "linux") t.skip("which file is read is told by /proc");
  const handle = await open(path);
  const kind = Object.getPrototypeOf(handle) as FileHandle;
  await handle.close();
  const read = kind.read as (this: FileHandle, ...args: unknown[]) => Promise<{ bytesRead: number }>;
  const mocked = t.mock.method(kind, "read", async function (this: FileHandle, ...args: unknown[]) {
    const found = await read.apply(this, args);
    if (done.has(this) && readlinkSync(`/proc/self/fd/${this.fd}`) === path)
      throw Object.assign(new Error(`${code}: i/o error, read`), { code });
    if (found.bytesRead >= 1 << 20) done.add(this);
    return found;
  } as never);
  const done = new WeakSet<FileHandle>();
  return () => mocked.mock.restore();
}

test("a card that cannot be read in one place: that file is named, and nobody gets the frames behind it", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), TWO_PATIENTS);
  const mend = await failReading(t, join(card, "DSC_0003.JPG"), "EIO");
  const lines = await takeAll(desk, [card]);
  mend();
  assert.deepEqual(statesOf(lines, card), [
    "DSC_0001.JPG stored",
    "DSC_0002.JPG stored",
    "DSC_0003.JPG unreadable",
    "DSC_0004.JPG stored",
  ]);
  const fault = lines.find((line) => "state" in line && line.state === "unreadable") as { error: object };
  assert.deepEqual(fault.error, {
    code: "DISK_FAULT",
    message: "The disk or card failed: DSC_0003.JPG",
    help: "Connect it again and run the same command; if it fails again, write nothing to it and have it recovered.",
  });
  assert.equal(summaryOf(lines).cardMayBeErased, false);
  assert.match(summaryOf(lines).why, /^Not in the library: DSC_0003\.JPG \(The disk or card failed/);
  assert.deepEqual(await readdir(join(desk.library.folder, "originals/incoming")), []);
  // It may have been a label frame, and it was.
  assert.deepEqual(await placings(desk), ["DSC_0001 R-1", "DSC_0002 R-1", "DSC_0004 -"]);
  assert.deepEqual(await faultsOf(desk), []);
  const again = await takeAll(desk, [card]);
  assert.deepEqual([summaryOf(again).stored, summaryOf(again).cardMayBeErased], [1, true]);
  assert.deepEqual((await placings(desk)).toSorted(), [
    "DSC_0001 R-1",
    "DSC_0002 R-1",
    "DSC_0003 R-2",
    "DSC_0004 -",
  ]);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a file that is called like a picture and is none may have been a label frame", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    ...TWO_PATIENTS,
    "DSC_0003.JPG": Buffer.alloc(5000),
    "DSC_0001.TXT.BAK": "a note, and no picture",
  });
  const lines = await takeAll(desk, [card]);
  assert.deepEqual(await placings(desk), ["DSC_0001 R-1", "DSC_0002 R-1", "DSC_0004 -"]);
  const waiting = await desk.library.read
    .selectFrom("frame")
    .select("placing")
    .where("request_id", "is", null)
    .executeTakeFirstOrThrow();
  assert.match(waiting.placing, /DSC_0003 before it could not be looked at and may have been a label frame/);
  assert.equal(summaryOf(lines).cardMayBeErased, false);
});

test("a RAW whose JPEG cannot be read speaks for its frame: nothing is missing there", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DSC_0001.JPG": { taken: at(0), codes: [LEG_LABEL] },
    "DSC_0002.JPG": { taken: at(1), padding },
    "DSC_0002.NEW": { taken: at(1), raw: true },
    "DSC_0003.JPG": { taken: at(2) },
  });
  const mend = await failReading(t, join(card, "DSC_0002.JPG"), "EIO");
  await takeAll(desk, [card]);
  mend();
  assert.deepEqual(await placings(desk), ["DSC_0001 R-1", "DSC_0002 R-1", "DSC_0003 R-1"]);
});

test("a card pulled out in the middle: what was said to be safe is, the rest is named and comes in later", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const folder = await temporaryFolder(t);
  const card = await makeCard(join(folder, "card"), TWO_PATIENTS);
  const pulled = [];
  let files = 0;
  const secondPlace = { is: "one copy is enough" } as const;
  const job = { desk, actor: MARA, cards: [card], pictures: madeUpPictures, secondPlace };
  for await (const line of takeIn(job)) {
    if ("state" in line && ++files === 2) await rename(card, join(folder, "pocket"));
    pulled.push(line);
  }
  assert.deepEqual(statesOf(pulled, card).slice(2), ["DSC_0003.JPG unreadable", "DSC_0004.JPG unreadable"]);
  assert.match(JSON.stringify(pulled[2]), /FILE_MISSING.*a card may have been unplugged/);
  assert.equal(summaryOf(pulled).cardMayBeErased, false);
  assert.deepEqual(await faultsOf(desk), []);
  await rename(join(folder, "pocket"), card);
  const again = summaryOf(await takeAll(desk, [card]));
  assert.deepEqual([again.stored, again.already, again.cardMayBeErased], [2, 2, true]);
  assert.deepEqual(await placings(desk), ["DSC_0001 R-1", "DSC_0002 R-1", "DSC_0003 R-2", "DSC_0004 R-2"]);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a computer's clock that jumps back while a card comes in harms neither log nor order", async (t) => {
  let now = NOON.getTime();
  const folder = await temporaryFolder(t);
  const clock = () => {
    now -= 600_000;
    return new Date(now);
  };
  const desk = await openDesk(join(folder, "library"), { clock });
  t.after(() => desk.close());
  await addTwoRequests(desk);
  const card = await makeCard(join(folder, "card"), TWO_PATIENTS);
  assert.equal(summaryOf(await takeAll(desk, [card])).cardMayBeErased, true);
  assert.deepEqual(await placings(desk), ["DSC_0001 R-1", "DSC_0002 R-1", "DSC_0003 R-2", "DSC_0004 R-2"]);
  assert.equal(summaryOf(await takeAll(desk, [card])).already, 4);
  assert.deepEqual(await faultsOf(desk), []);
});
