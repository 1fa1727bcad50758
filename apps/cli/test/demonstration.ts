import { spawn } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { cp, mkdtemp } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");

/** A demonstration as `samescale demo --no-serve` left it, and what the command said. */
export interface Demonstration {
  readonly folder: string;
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Two minutes, on a busy machine four. */
const MADE_WITHIN_MS = 9 * 60_000;

/** How the run ended, beside the demonstration. Written last: who waits for it may begin. */
const ENDED = "ended.json";

/**
 * One demonstration for all tests of a run, made by whoever needs it first (two minutes); the others wait for it.
 * `SAMESCALE_TEST_DEMO` names one that lies there already, while a test is being written.
 */
async function oneDemonstration(): Promise<Demonstration> {
  const given = process.env.SAMESCALE_TEST_DEMO;
  if (given) return { folder: given, status: 0, stdout: "", stderr: "" };
  const run = process.env.SAMESCALE_TEST_RUN;
  const parent = join(tmpdir(), `samescale-test-demo-${run ?? process.pid}`);
  const ended = join(parent, ENDED);
  try {
    mkdirSync(parent);
  } catch {
    for (const until = Date.now() + MADE_WITHIN_MS; !existsSync(ended); ) {
      if (Date.now() > until) throw new Error(`No demonstration in ${parent}: whoever makes it did not end`);
      await new Promise((done) => setTimeout(done, 300));
    }
    return JSON.parse(readFileSync(ended, "utf8")) as Demonstration;
  }
  if (!run) process.once("exit", () => rmSync(parent, { recursive: true, force: true }));
  const folder = join(parent, "demo");
  const args = ["--disable-warning=ExperimentalWarning", MAIN, "demo", "--no-serve", "--dir", folder];
  const made = await new Promise<Demonstration>((done) => {
    const child = spawn(process.execPath, args, { stdio: ["ignore", "pipe", "pipe"] });
    const said = { stdout: "", stderr: "" };
    child.stdout.on("data", (data) => {
      said.stdout += String(data);
    });
    child.stderr.on("data", (data) => {
      said.stderr += String(data);
    });
    child.once("close", (status) => done({ folder, status, ...said }));
  });
  const draft = `${ended}.draft`;
  writeFileSync(draft, JSON.stringify(made));
  // Whole or not there at all.
  renameSync(draft, ended);
  return made;
}

/** A demonstration of the caller's own: a copy of the one, to do with as they like, and to remove. */
export async function ownDemonstration(): Promise<Demonstration> {
  const one = await oneDemonstration();
  const folder = await mkdtemp(join(tmpdir(), "samescale-demo-"));
  if (one.status === 0) await cp(one.folder, folder, { recursive: true, preserveTimestamps: true });
  return { ...one, folder };
}
