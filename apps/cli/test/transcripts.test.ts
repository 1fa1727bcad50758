import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { globSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { test } from "node:test";

/**
 * Each `NAME.sh` in `transcripts/` is typed into a shell in an empty folder, with `samescale` as the command; what
 * appears (both outputs, in order) must be `NAME.expected`. Only times are masked. `typed ARGUMENTS` shows the command
 * before it runs it: docs/commands.md takes those transcripts over.
 */
const main = resolve(import.meta.dirname, "../src/main.ts");
const prelude = `samescale() { "${process.execPath}" --disable-warning=ExperimentalWarning "${main}" "$@"; }
typed() { echo "\\$ samescale $*"; samescale "$@"; }
`;

for (const script of globSync(join(import.meta.dirname, "transcripts/*.sh")).sort()) {
  test(`transcript ${basename(script, ".sh")}`, () => {
    const folder = mkdtempSync(join(tmpdir(), "samescale-transcript-"));
    try {
      const typed = readFileSync(script, "utf8");
      const result = spawnSync("sh", ["-c", `exec 2>&1\n${prelude}${typed}`], {
        cwd: folder,
        encoding: "utf8",
        env: { ...process.env, NO_COLOR: "1" },
      });
      const shown = result.stdout.replaceAll(/"seconds":[0-9.]+/g, '"seconds":0');
      assert.equal(shown, readFileSync(script.replace(/\.sh$/, ".expected"), "utf8"));
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
}
