import assert from "node:assert/strict";
import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { copyFile, mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { openDesk, type TakeInLine } from "../../src/index.ts";
import { snapshotOf } from "../snapshot.ts";
import { faultsOf, LEG_LABEL, makeCard } from "../support.ts";
import { at } from "./morning.ts";

/**
 * A power cut, as a disk sees it: library and second place lie on a file system of their own in one file (ext4 over a
 * loop device). At a random moment the intake is stopped dead and that file is copied: it holds what was waited for and
 * what the system happened to have written, and nothing that was only in memory. The copy is mounted like a disk after
 * a power cut. Not simulated: a disk that says it has written what it has not, and half-written sectors.
 */
const LONG = process.env.SAMESCALE_LONG === "1";
const CUTS = LONG ? 60 : 1;
const DISK_MB = 48;
const FILES = LONG ? 16 : 6;

const run = (program: string, ...args: string[]) => spawnSync(program, args, { encoding: "utf8" });
const mounted = (image: string, folder: string) => run("mount", "-o", "loop", image, folder).status === 0;

test("what was said to be safe is there after a power cut, and the intake goes on to the same end", async (t) => {
  const folder = await mkdtemp(join(tmpdir(), "samescale-power-"));
  const disk = join(folder, "disk");
  const image = join(folder, "disk.img");
  t.after(async () => {
    while (run("umount", disk).status === 0);
    await rm(folder, { recursive: true, force: true });
  });
  await mkdir(disk);
  if (!(await freshDisk(image)) || !mounted(image, disk))
    return t.skip("a disk in a file needs root, mkfs.ext4 and a loop device");
  const library = join(disk, "library");
  const card = await makeCard(join(folder, "card"), cardFiles());
  await mkdir(join(disk, "second"));
  const whole = start(library, card);
  const begun = performance.now();
  await whole.ended;
  const lasts = performance.now() - begun;
  const expected = await look(library);
  run("umount", disk);
  let said = 0;
  let seed = 1;
  for (let cut = 0; cut < CUTS; cut++) {
    assert.ok((await freshDisk(image)) && mounted(image, disk));
    await mkdir(join(disk, "second"));
    run("sync", "-f", disk); // a disk that stood ready: made long before the intake
    const taking = start(library, card);
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    await new Promise((passed) => setTimeout(passed, (seed / 2 ** 32) * lasts));
    taking.child.kill("SIGSTOP");
    const lines = taking.lines();
    await copyFile(image, `${image}.cut`);
    taking.child.kill("SIGKILL");
    await taking.ended;
    run("umount", disk);
    assert.ok(mounted(`${image}.cut`, disk), "the disk can be mounted after the cut");
    said += await keptItsWord(library, lines);
    await start(library, card).ended;
    assert.deepEqual(await look(library), expected);
    run("umount", disk);
  }
  t.diagnostic(`${CUTS} cuts; ${said} files had been said to be safe before them`);
});

const cardFiles = () =>
  Object.fromEntries(
    Array.from({ length: FILES }, (_, nth) => [
      `DSC_${String(nth + 1).padStart(4, "0")}.JPG`,
      { taken: at(nth), padding: 150_000, codes: nth === 0 ? [LEG_LABEL] : [] },
    ]),
  );

async function freshDisk(image: string): Promise<boolean> {
  await rm(image, { force: true });
  return (
    run("truncate", "-s", `${DISK_MB}M`, image).status === 0 &&
    run("mkfs.ext4", "-q", "-F", image).status === 0
  );
}

function start(library: string, card: string) {
  const script = join(import.meta.dirname, "take-in.process.ts");
  const child: ChildProcess = spawn(process.execPath, [script, library, card], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  let out = "";
  child.stdout!.on("data", (piece) => {
    out += piece;
  });
  const ended = new Promise<void>((closed) => child.on("close", () => closed()));
  const lines = () =>
    out
      .split("\n")
      .slice(1, -1)
      .map((line) => JSON.parse(line) as TakeInLine);
  return { child, ended, lines };
}

/** Returns how many files had been said to be safe. */
async function keptItsWord(library: string, lines: readonly TakeInLine[]): Promise<number> {
  const said = lines.flatMap((line) => ("sha256" in line && line.sha256 !== null ? [line.sha256] : []));
  if (said.length === 0) return 0;
  const desk = await openDesk(library, { mode: "open" });
  try {
    for (const sha256 of said) assert.equal(await desk.library.originals.rehash(sha256), sha256);
    const rows = await desk.library.read.selectFrom("file").select("sha256").execute();
    const copies = await desk.library.read.selectFrom("copy").select("sha256").execute();
    for (const sha256 of said) {
      assert.ok(rows.some((row) => row.sha256 === sha256));
      assert.ok(copies.some((row) => row.sha256 === sha256));
    }
  } finally {
    await desk.close();
  }
  return said.length;
}

async function look(library: string): Promise<unknown> {
  const desk = await openDesk(library, { mode: "read" });
  assert.deepEqual(await faultsOf(desk), []);
  const snapshot = await snapshotOf(desk.library);
  await desk.close();
  return JSON.parse(JSON.stringify(snapshot));
}
