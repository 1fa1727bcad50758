import { randomBytes } from "node:crypto";
import { rmSync } from "node:fs";
import { readdir } from "node:fs/promises";
import { hostname } from "node:os";
import { join } from "node:path";

/**
 * Files on their way in. The name says who writes: machine and process, so that what a killed run left can be
 * told from what a living one is writing, also when several machines share the folder.
 */
const NAME = /^([a-zA-Z0-9-]+)\.(\d+)\.[0-9a-f]{16}\.part$/;

const machine = hostname().replace(/[^a-zA-Z0-9-]/g, "-") || "machine";

/** Those that this very process is writing now; a process that ends in the middle takes them along. */
const mine = new Set<string>();
process.on("exit", () => {
  for (const path of mine) rmSync(path, { force: true });
});

export function newIncomingName(folder: string): { readonly path: string; done(): void } {
  const path = join(folder, `${machine}.${process.pid}.${randomBytes(8).toString("hex")}.part`);
  mine.add(path);
  return { path, done: () => mine.delete(path) };
}

export interface Incoming {
  readonly path: string;
  /** Writers on other machines cannot be asked: they are taken to live. `nobody`: the file is not one of ours. */
  readonly writer: "lives" | "dead" | "nobody";
}

export async function incomingFiles(folder: string): Promise<Incoming[]> {
  const names = await readdir(folder);
  return names.sort().map((name) => {
    const path = join(folder, name);
    const [, host, pid] = NAME.exec(name) ?? [];
    if (host === undefined) return { path, writer: "nobody" };
    const living = host !== machine || (Number(pid) === process.pid ? mine.has(path) : lives(Number(pid)));
    return { path, writer: living ? "lives" : "dead" };
  });
}

function lives(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (thrown) {
    return (thrown as NodeJS.ErrnoException).code === "EPERM"; // it lives, but belongs to somebody else
  }
}
