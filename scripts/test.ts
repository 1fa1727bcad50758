import { globSync, rmSync, writeFileSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { finished } from "node:stream/promises";
import { run } from "node:test";
import { spec } from "node:test/reporters";
import { parseArgs } from "node:util";

/**
 * Runs the tests: all of them, or those whose path contains a word given. Ends with the runner's own count.
 *   node scripts/test.ts [word …] [--counts FILE]
 */
const { values, positionals } = parseArgs({
  options: { counts: { type: "string" } },
  allowPositionals: true,
});
const files = globSync([
  "packages/*/test/**/*.test.ts",
  "apps/*/test/**/*.test.ts",
  "scripts/test/**/*.test.ts",
])
  .filter((file) => positionals.length === 0 || positionals.some((word) => file.includes(word)))
  .sort();

// Hundreds of processes load the same sources: compiled once, they start in half the time.
process.env.NODE_COMPILE_CACHE ??= resolve("node_modules/.cache/samescale");

// Tests of one run share what is dear to make.
process.env.SAMESCALE_TEST_RUN ??= String(process.pid);

const stream = run({
  files,
  // The runner's own choice leaves one core idle, which is half of a small machine.
  concurrency: availableParallelism(),
  execArgv: ["--disable-warning=ExperimentalWarning", "--import", resolve("scripts/limit-of-a-test-file.ts")],
});
let counts = { passed: 0, failed: 1, skipped: 0 };
stream.on("test:summary", (summary) => {
  if (summary.file !== undefined) return;
  const { tests, passed, skipped, todo } = summary.counts;
  counts = { passed, failed: tests - passed - skipped - todo, skipped };
});
const words = stream.compose(spec);
words.pipe(process.stdout);
await finished(words);
rmSync(join(tmpdir(), `samescale-test-demo-${process.env.SAMESCALE_TEST_RUN}`), {
  recursive: true,
  force: true,
});
if (values.counts) writeFileSync(values.counts, JSON.stringify(counts));
// At once: a program that a failed test left running would be waited for, as it holds our standard error.
process.exit(counts.failed > 0 ? 1 : 0);
