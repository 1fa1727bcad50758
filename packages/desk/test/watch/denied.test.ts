import assert from "node:assert/strict";
import { chmodSync } from "node:fs";
import { chmod, mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { emptyFolder, follow, jpeg } from "./watched.ts";

/** Root may read everything: the process becomes another user while it follows, and root again to clean up. */
const NOBODY = 65_534;

test("what may not be read is said, and the watch goes on", async (t) => {
  const folder = await emptyFolder(t);
  const isRoot = process.geteuid?.() === 0;
  const become = (user: number) => isRoot && process.seteuid?.(user);
  const permit = (path: string, mode: number) => {
    become(0);
    chmodSync(path, mode);
    become(NOBODY);
  };
  await chmod(folder, 0o755);
  await mkdir(join(folder, "DCIM"));
  await writeFile(join(folder, "DCIM/in.jpg"), jpeg("in"));
  await writeFile(join(folder, "locked.jpg"), jpeg("locked"));
  permit(join(folder, "locked.jpg"), 0);

  const told = follow(t, folder);
  become(NOBODY);
  try {
    await told.until("frame a: DCIM/in.jpg");
    await told.until("unreadable locked.jpg: FILE_NOT_PERMITTED");
    permit(join(folder, "locked.jpg"), 0o644);
    await told.until("frame b: locked.jpg");
    permit(join(folder, "DCIM"), 0);
    await told.until("DCIM denied");
    permit(join(folder, "DCIM"), 0o755);
    await told.until("DCIM back");
    permit(folder, 0);
    await told.until(". denied");
    permit(folder, 0o755);
    await told.until(". back");
    // Between two looks the folder may be closed when its file is asked for: then that is said as well.
    const said = told.lines().filter((line) => line !== "unreadable DCIM/in.jpg: FILE_NOT_PERMITTED");
    assert.equal(said.length, 7, said.join("; "));
  } finally {
    become(0);
  }
});
