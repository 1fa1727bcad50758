import { type ChildProcess, spawn } from "node:child_process";
import { join } from "node:path";

export interface Ran {
  readonly code: number | null;
  readonly lines: readonly Record<string, unknown>[];
  readonly said: string;
}

export interface Running {
  readonly child: ChildProcess;
  /** Its first line: the library is open. */
  readonly begun: Promise<void>;
  readonly ended: Promise<Ran>;
}

/** Runs a script of this folder in a process of its own. */
export function run(script: string, ...given: readonly string[]): Running {
  const child = spawn(process.execPath, [join(import.meta.dirname, script), ...given], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  let out = "";
  let said = "";
  child.stderr.on("data", (piece) => {
    said += piece;
  });
  const begun = new Promise<void>((resolve) => {
    child.stdout.on("data", (piece) => {
      out += piece;
      resolve();
    });
    child.on("close", () => resolve());
  });
  const ended = new Promise<Ran>((resolve) => {
    child.on("close", (code) => {
      const lines = out.split("\n").slice(1, -1);
      resolve({ code, said, lines: lines.map((line) => JSON.parse(line) as Record<string, unknown>) });
    });
  });
  return { child, begun, ended };
}
