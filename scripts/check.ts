import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/**
 * Every check, cheapest first, all of them even when one fails: a person wants the whole list. The last line is
 * the test runner's own count.
 *   node scripts/check.ts [--long]     --long: the tests that take minutes as well (docs/reliability.md)
 */
if (process.argv.includes("--long")) process.env.SAMESCALE_LONG = "1";
const node = process.execPath;
const bin = (name: string) => join("node_modules", ".bin", name);
const countsFolder = mkdtempSync(join(tmpdir(), "samescale-check-"));
const countsFile = join(countsFolder, "counts.json");

const stages: readonly (readonly [name: string, command: string, args: readonly string[]])[] = [
  ["lint and format", bin("biome"), ["check", "--error-on-warnings", "."]],
  ["types", bin("tsc"), ["--noEmit"]],
  ["types of the application", bin("tsc"), ["--noEmit", "-p", "apps/web"]],
  ["arrows", node, ["scripts/check-arrows.ts"]],
  ["unused files, exports, packages", bin("knip"), ["--no-progress"]],
  ["generated files", node, ["scripts/check-generated.ts"]],
  ["examples", node, ["scripts/run-examples.ts"]],
  ["tests", node, ["scripts/test.ts", "--counts", countsFile]],
];

const times: string[] = [];
let failedStages = 0;
for (const [name, command, args] of stages) {
  process.stdout.write(`\n── ${name}\n`);
  const start = performance.now();
  const result = spawnSync(command, args, { stdio: ["ignore", "inherit", "inherit"] });
  const seconds = ((performance.now() - start) / 1000).toFixed(1).padStart(7);
  const passed = result.status === 0;
  if (!passed) failedStages++;
  times.push(`${seconds} s  ${passed ? "passed" : "FAILED"}  ${name}`);
}
process.stdout.write(`\n── times\n${times.join("\n")}\n\n`);

// A stage before the tests counts as one failed check, so that the closing line never says all is well when it is not.
const counts = existsSync(countsFile)
  ? (JSON.parse(readFileSync(countsFile, "utf8")) as { passed: number; failed: number; skipped: number })
  : { passed: 0, failed: 1, skipped: 0 };
rmSync(countsFolder, { recursive: true });
const failed = counts.failed > 0 ? counts.failed : failedStages;
process.stdout.write(`${counts.passed} passed, ${failed} failed, ${counts.skipped} skipped\n`);
process.exitCode = failed > 0 ? 1 : 0;
