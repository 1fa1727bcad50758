import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { text } from "node:stream/consumers";
import { test } from "node:test";
import { setTimeout as wait } from "node:timers/promises";
import { doneOrThrow, openDesk, recallsOf, withdrawConsent } from "../../src/index.ts";
import { keepPicture } from "../release/photographed.ts";
import { faultsOf, MARA, temporaryFolder } from "../support.ts";
import { foldersIn } from "./random-acts/world.ts";
import { give, jobOf } from "./support.ts";

const PROCESS = join(import.meta.dirname, "release-race.process.ts");

test("two processes, one releasing while the other withdraws: what comes first in the log decides", async (t) => {
  const folder = await temporaryFolder(t);
  const [library, released, stop] = ["library", "released", "stop"].map((name) => join(folder, name));
  const desk = await openDesk(library!);
  t.after(() => desk.close());
  const { requestId, frames } = await jobOf(desk, { pictures: 2 });
  for (const [i, frame] of frames.entries()) {
    await keepPicture(desk, frame, Buffer.from(`original ${i}`), `IMG_${i}.JPG`);
  }
  const yes = () => give(desk, { of: { requestId }, scope: "requester" });
  let { id } = await yes();
  const args = ["--disable-warning=ExperimentalWarning", PROCESS, library!, released!, stop!, requestId];
  const releasing = spawn(process.execPath, [...args, ...frames], { stdio: ["ignore", "pipe", "inherit"] });
  const said = text(releasing.stdout);
  while ((await foldersIn({ released: released! })).length === 0) await wait(20);
  const listed = new Set<string>();
  for (let round = 0; round < 12; round++) {
    await wait(5 + ((round * 37) % 60));
    const { wentOut } = doneOrThrow(await withdrawConsent(desk, MARA, { consentId: id, by: "the patient" }));
    for (const { releaseId } of wentOut) listed.add(releaseId);
    await wait(5 + ((round * 23) % 40));
    if (round < 11) ({ id } = await yes());
  }
  await writeFile(stop!, "");
  const [status] = (await once(releasing, "exit")) as [number];
  assert.equal(status, 0);

  const log = await desk.library.read
    .selectFrom("act")
    .select(["act", "subject"])
    .orderBy("sequence")
    .execute();
  let isAllowed = false;
  const out = new Set<string>();
  for (const { act, subject } of log) {
    if (act === "consent.give") isAllowed = true;
    if (act === "consent.withdraw") isAllowed = false;
    if (act !== "release.hand-over") continue;
    assert.ok(isAllowed, `${subject} was handed over after a withdrawal`);
    out.add(subject.slice("release/".length));
  }
  const tries = (await said)
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as { done: boolean; id?: string; reason?: string });
  const last = tries.at(-1);
  assert.match(last?.reason ?? "", /was withdrawn on/, "after the last withdrawal nothing leaves");
  assert.deepEqual(new Set(tries.flatMap(({ id: released }) => released ?? [])), out);
  // The folder of a release has the last letters of its id as its name.
  const there = (await foldersIn({ released: released! })).sort();
  assert.deepEqual(
    there,
    [...out].map((one) => one.slice(-8)).sort(),
    "every byte that lies there is on record",
  );
  for (const one of out) assert.ok(listed.has(one), "every release that was out was listed at a withdrawal");
  const recalled = doneOrThrow(await recallsOf(desk, MARA, "open"));
  assert.deepEqual(new Set(recalled.map(({ releaseId }) => releaseId)), out);
  assert.deepEqual(await faultsOf(desk), []);
  const refused = tries.filter(({ done }) => !done).length;
  t.diagnostic(`${tries.length} tries, ${out.size} left, ${refused} refused, 12 withdrawals`);
});
