import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { readdir } from "node:fs/promises";
import { join, resolve } from "node:path";
import { test } from "node:test";
import { setTimeout as pause } from "node:timers/promises";
import { checkReleased, openDesk, releasesOf, withdrawConsent } from "../../src/index.ts";
import { faultsOf, MARA } from "../support.ts";
import { allow, keepPicture, type Photographed, photographed, release, treeOf } from "./photographed.ts";

const PROCESS = resolve(import.meta.dirname, "release.process.ts");

function runRelease(job: Photographed, times: number) {
  const { desk, released, requestId, frames } = job;
  const child = spawn(
    process.execPath,
    [PROCESS, desk.library.folder, released, requestId, frames.join(","), String(times)],
    {
      stdio: ["ignore", "pipe", "inherit"],
    },
  );
  const lines: string[] = [];
  let rest = "";
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    const parts = (rest + text).split("\n");
    rest = parts.pop() ?? "";
    lines.push(...parts);
  });
  const begun = new Promise<void>((done) => child.stdout.once("data", () => done()));
  return { child, lines, begun, ended: once(child, "close") };
}

/** A folder of everything released holds whole releases only, and each is on record. */
async function onlyWhole(job: Photographed): Promise<string[]> {
  const folders = (await readdir(job.released).catch(() => [])).filter((name) => name !== ".waiting");
  for (const folder of folders) {
    const check = await checkReleased(join(job.released, folder), job.desk);
    assert.deepEqual(check.faults, [], folder);
  }
  return folders;
}

const KILLS = process.env.SAMESCALE_LONG === "1" ? 100 : 4;

test(`a release killed at ${KILLS} random moments: nothing half-named, the log never behind, what was left is taken back`, async (t) => {
  const job = await photographed(t, 2);
  // The clock of the other process is the real one.
  await allow(job, "requester");
  for (let kill = 0; kill < KILLS; kill++) {
    const run = runRelease(job, 50);
    await run.begun;
    // A golden ratio's steps spread over the time of about two releases.
    await pause(((kill * 0.618) % 1) * 400);
    run.child.kill("SIGKILL");
    await run.ended;
    const known = await releasesOf(job.desk, MARA);
    for (const folder of await onlyWhole(job)) assert.ok(known.some((each) => each.folder === folder));
    // Said to be out: it is.
    const folders = new Set(await readdir(job.released).catch(() => []));
    for (const line of run.lines) if (line.startsWith("out ")) assert.ok(folders.has(line.slice(4)), line);
  }
  const last = runRelease(job, 1);
  await last.ended;
  assert.match(last.lines.at(-1) ?? "", /^out /);
  const known = await releasesOf(job.desk, MARA);
  assert.ok(
    known.every(({ state }) => state !== "unfinished"),
    "the next release takes back what was left",
  );
  const out = known.filter(({ state }) => state === "out").map(({ folder }) => folder);
  assert.deepEqual((await onlyWhole(job)).sort(), out.sort());
  assert.deepEqual(await readdir(join(job.released, ".waiting")), []);
  assert.deepEqual(await faultsOf(job.desk), []);
});

test("consent withdrawn by one process while another releases: nothing gets its name afterwards", async (t) => {
  const job = await photographed(t, 2);
  const { id: consentId } = await allow(job, "requester");
  const run = runRelease(job, 40);
  await run.begun;
  while (run.lines.length < 3) await pause(5);
  const own = await openDesk(job.desk.library.folder, { mode: "open" });
  t.after(() => own.close());
  const withdrawn = await withdrawConsent(own, MARA, { consentId, by: "the patient" });
  assert.ok(withdrawn.done);
  const atOnce = (await readdir(job.released)).filter((name) => name !== ".waiting").sort();
  await run.ended;
  const later = (await readdir(job.released)).filter((name) => name !== ".waiting").sort();
  assert.deepEqual(
    later,
    atOnce,
    "what has its name when the withdrawal is on record is all that ever leaves",
  );
  assert.match(run.lines.at(-1) ?? "", /^refused .*withdrawn/);
  // And everything that has left is in the list of what must be asked back.
  const listed = new Set(withdrawn.value.wentOut.map(({ releaseId }) => releaseId));
  const out = (await releasesOf(own, MARA)).filter(({ folder }) => atOnce.includes(folder));
  assert.ok(out.length > 0 && out.every(({ id }) => listed.has(id)));
  assert.deepEqual(await faultsOf(own), []);
});

test("a full disk: nothing is on record, nothing is left behind, the words say what to do", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  const full = Object.assign(new Error("no space left on device"), { code: "ENOSPC" });
  const form = {
    name: "pictures",
    scopes: ["requester"] as const,
    async *files() {
      yield {
        name: "a.jpg",
        // The disk fills up in the middle of a file.
        bytes: (async function* () {
          yield Buffer.alloc(1000);
          throw full;
        })(),
        frameId: job.frames[0]!,
        original: null,
      };
    },
  };
  await assert.rejects(release(job, {}, form), { code: "DISK_FULL" });
  assert.deepEqual([...(await treeOf(job.released)).keys()], []);
  assert.deepEqual(await releasesOf(job.desk, MARA), []);
});

test("a picture that claims a billion pixels is refused before it fills memory", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  const { sha256 } = await job.desk.library.read
    .selectFrom("file")
    .select("sha256")
    .where("frame_id", "=", job.frames[0]!)
    .executeTakeFirstOrThrow();
  await job.desk.library.write("x", async ({ update }) => {
    await update("file", sha256, { frame_id: null });
    return { value: null, deed: { act: "test.file", subject: "file/x" } };
  });
  // A PNG head for 60,000 x 60,000 pixels and nothing behind it.
  const bomb = Buffer.from("89504e470d0a1a0a0000000d494844520000ea600000ea600802000000", "hex");
  await keepPicture(job.desk, job.frames[0]!, Buffer.concat([bomb, Buffer.alloc(100)]), "IMG_1.PNG", "png");
  await assert.rejects(release(job), { code: /PICTURE_(TOO_LARGE|DAMAGED)/ });
  assert.deepEqual(await releasesOf(job.desk, MARA), []);
});
