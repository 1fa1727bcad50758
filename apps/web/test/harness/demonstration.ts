import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, rmSync, writeFileSync } from "node:fs";
import { cp, mkdtemp } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const MAIN = resolve(import.meta.dirname, "../../../cli/src/main.ts");

/**
 * One demonstration for all tests of a run, made by whoever needs it first (two minutes); the others wait for it.
 * `SAMESCALE_TEST_DEMO` names one that lies there already, while a test is being written.
 */
async function demonstration(): Promise<string> {
  const given = process.env.SAMESCALE_TEST_DEMO;
  if (given) return given;
  const folder = join(tmpdir(), `samescale-test-demo-${process.env.SAMESCALE_TEST_RUN ?? process.pid}`);
  const ready = join(folder, "ready.txt");
  try {
    mkdirSync(folder);
  } catch {
    while (!existsSync(ready)) await new Promise((resolve) => setTimeout(resolve, 200));
    return join(folder, "demo");
  }
  if (!process.env.SAMESCALE_TEST_RUN)
    process.once("exit", () => rmSync(folder, { recursive: true, force: true }));
  const demo = join(folder, "demo");
  const made = spawnSync(
    process.execPath,
    ["--disable-warning=ExperimentalWarning", MAIN, "demo", "--no-serve", "--dir", demo],
    { encoding: "utf8", maxBuffer: 1 << 26 },
  );
  writeFileSync(ready, made.stdout + made.stderr);
  if (made.status !== 0) throw new Error(made.stdout + made.stderr);
  return demo;
}

/** A demonstration of the caller's own: a copy of the one, to do with as they like. @returns its folder */
export async function ownDemonstration(): Promise<string> {
  const copy = await mkdtemp(join(tmpdir(), "samescale-web-"));
  await cp(await demonstration(), copy, { recursive: true });
  return copy;
}
