import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import {
  addRequest,
  doneOrThrow,
  openDesk,
  openVisit,
  planRequest,
  readPracticeFolder,
} from "@samescale/desk";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-repeat-"));
const library = join(folder, "library");
after(() => rmSync(folder, { recursive: true }));

const repeat = (...args: string[]) =>
  spawnSync(process.execPath, [MAIN, "repeat", ...args, "--library", library], { encoding: "utf8" });

/** R-1 has no plan; R-2 has one and a visit without a picture. */
before(async () => {
  const actor = { name: "mara", role: "photographer" } as const;
  const practice = await readPracticeFolder(resolve(import.meta.dirname, "../demo-practice"));
  const desk = await openDesk(library);
  const add = async (code: string) =>
    doneOrThrow(await addRequest(desk, actor, { code, patientId: null, kind: "non-clinical" })).id;
  await add("R-1");
  const requestId = await add("R-2");
  doneOrThrow(await planRequest(desk, actor, { requestId, viewSetKey: "leg-wound" }, practice));
  doneOrThrow(await openVisit(desk, actor, { requestId, date: "2026-03-02" }));
  await desk.close();
});

test("what cannot be repeated is told in two lines, with the exit status of the contract", () => {
  for (const [args, status, says] of [
    [["R-9"], 1, /no request "R-9".*REQUEST_UNKNOWN/s],
    [["R-1"], 2, /has no plan yet.*BAD_ARGUMENTS/s],
    [["R-2", "--visit", "2026-04-01"], 2, /no visit on 2026-04-01; it has 2026-03-02/],
    [["R-2", "--keep", "both"], 2, /expected one of field, ratio/],
  ] as const) {
    const ran = repeat(...args);
    assert.equal(ran.status, status, `${args.join(" ")}: ${ran.stderr}`);
    assert.match(ran.stderr, says);
    assert.equal(ran.stdout, "");
  }
});
