import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { addRequest, doneOrThrow, openDesk } from "@samescale/desk";

const main = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-place-"));
after(() => rmSync(folder, { recursive: true, force: true }));
const env = { ...process.env, SAMESCALE_LIBRARY: "", NODE_COMPILE_CACHE: join(folder, "compiled") };

/** One transparent pixel, made different by what follows its end. */
const PIXEL = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAQAAAC1HAwCAAAAC0lEQVR42mNkYAAAAAYAAjCB0C8AAAAASUVORK5CYII=",
  "base64",
);

function samescale(...args: readonly string[]) {
  const run = spawnSync(process.execPath, [main, ...args, "--library", "library"], {
    cwd: folder,
    encoding: "utf8",
    env,
  });
  const { status, stdout, stderr } = run;
  const lines = () =>
    stdout
      .split("\n")
      .slice(0, -1)
      .map((line) => JSON.parse(line));
  return { status, stdout, stderr, lines };
}

before(async () => {
  mkdirSync(join(folder, "card"));
  for (const nth of [1, 2])
    writeFileSync(join(folder, `card/IMG_000${nth}.PNG`), Buffer.concat([PIXEL, Buffer.from(`${nth}`)]));
  const desk = await openDesk(join(folder, "library"));
  const room = { code: "R-5", patientId: null, kind: "non-clinical" } as const;
  doneOrThrow(await addRequest(desk, { name: "test", role: "photographer" }, room));
  await desk.close();
  assert.equal(samescale("take-in", "card").status, 0);
});

test("frames that wait are listed, given to a request, taken back and sent to nobody", () => {
  const waiting = samescale("place", "waiting", "--json").lines();
  assert.deepEqual(
    waiting.map(({ name, why }) => [name, why]),
    [
      ["IMG_0001", "No label frame before it"],
      ["IMG_0002", "No label frame before it"],
    ],
  );
  assert.match(
    samescale("place", "waiting").stdout,
    /IMG_0001\n {2}No label frame before it\.\n[\s\S]*2 wait\. Give/,
  );
  const ids = waiting.map(({ frameId }) => frameId);
  const noReason = samescale("place", "to", "R-5", ...ids);
  assert.equal(noReason.status, 2);
  assert.match(noReason.stderr, /--because/);
  const [placed] = samescale("place", "to", "R-5", ...ids, "--because", "day sheet", "--json").lines();
  assert.deepEqual(placed, { request: "R-5", moved: 2, doubts: [], released: [], stale: [] });
  assert.match(samescale("place", "waiting").stdout, /^No frame waits/);
  const undone = samescale("place", "undo").stdout;
  assert.match(
    undone,
    /^2 frames go back to where they were\.\nUndone: what .*"day sheet"\), entry \d+ of the log/,
  );
  assert.equal(samescale("place", "waiting", "--json").lines().length, 2);
  const again = samescale("place", "undo");
  assert.equal(again.status, 1);
  assert.match(again.stderr, /No placing by hand is left to be undone/);
  assert.equal(samescale("place", "to", "R-77", ids[0], "--because", "x").status, 1);
  const nobody = samescale("place", "nobody", ids[0], "--because", "nobody knows");
  assert.match(nobody.stdout, /^1 frame goes back to those that wait/);
});

test("a clock is put right by a number or by a photographed clock, refused where there is no time", () => {
  const [{ frameId }] = samescale("place", "waiting", "--json").lines();
  assert.match(samescale("clock", "check").stdout, /^No card's label frames speak against its clock/);
  const noTime = samescale("clock", "from-frame", frameId, "--shows", "2026-03-15 09:02:30");
  assert.equal(noTime.status, 2);
  assert.match(noTime.stderr, /The camera wrote no time into IMG_0001/);
  assert.equal(samescale("clock", "set", "x", "--add-s", "60", "--because", "x").status, 1);
  assert.equal(samescale("clock", "set", "x", "--add-s", "soon", "--because", "x").status, 2);
  assert.equal(samescale("clock", "as-booked", "x").status, 2);
});
