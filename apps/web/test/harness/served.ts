import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { ownDemonstration } from "../../../cli/test/demonstration.ts";

/** The server itself cuts everything off after 30 s. */
const ENDED_WITHIN_MS = 60_000;

const MAIN = resolve(import.meta.dirname, "../../../cli/src/main.ts");

export interface Served {
  readonly url: string;
  /** The demonstration's folder; the library is in it. */
  readonly folder: string;
  readonly library: string;
  /** Ends the server at once, as when the machine fails, and starts another at the same address. */
  restart(): Promise<void>;
  close(): Promise<void>;
}

/** A server of its own over a copy of the demonstration, as `samescale serve` starts it. */
export async function serveDemonstration(): Promise<Served> {
  return await serve((await ownDemonstration()).folder);
}

/** A server over a library in which nothing was done yet. */
export async function serveEmpty(): Promise<Served> {
  return await serve(await mkdtemp(join(tmpdir(), "samescale-empty-")));
}

async function serve(folder: string): Promise<Served> {
  const library = join(folder, "library");
  let server = await start(library, 0);
  const { url } = server;
  return {
    url,
    folder,
    library,
    async restart() {
      server.child.kill("SIGKILL");
      await once(server.child, "exit");
      server = await start(library, Number(new URL(url).port));
    },
    async close() {
      const { child } = server;
      const ended = child.exitCode ?? child.signalCode;
      if (ended !== null) throw new Error(`The server had ended by itself: ${ended}`);
      const exited = once(child, "exit");
      child.kill("SIGTERM");
      const late = setTimeout(() => child.kill("SIGKILL"), ENDED_WITHIN_MS);
      const [, signal] = await exited;
      clearTimeout(late);
      await rm(folder, { recursive: true, force: true });
      if (signal === "SIGKILL") throw new Error(`Told to end, the server ran on for ${ENDED_WITHIN_MS} ms`);
    },
  };
}

async function start(library: string, port: number) {
  const child = spawn(
    process.execPath,
    ["--disable-warning=ExperimentalWarning", MAIN, "serve", "--library", library, "--port", String(port)],
    { stdio: ["ignore", "pipe", "inherit"] },
  );
  // Nothing outlives a test that was ended.
  const kill = () => child.kill("SIGKILL");
  process.once("exit", kill);
  child.once("exit", () => process.off("exit", kill));
  for await (const line of createInterface({ input: child.stdout })) {
    const url = line.match(/^Open (\S+)$/)?.[1];
    if (url) return { child, url };
  }
  throw new Error("The server ended before it said where it is");
}
