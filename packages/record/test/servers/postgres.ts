import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import {
  chownSync,
  existsSync,
  globSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statfsSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import pg from "pg";

/** A real server of our own, on a socket in a folder of its own and on a free port, gone after the tests. */
export interface PostgresServer {
  /** Folder of the socket. */
  readonly socket: string;
  readonly port: number;
  /** A fresh database, whose own order of text is that of a language; its address without a password. */
  freshDatabase(): Promise<string>;
  /** The same address over the loopback, where the server asks for the password. */
  overTcp(address: string): string;
  /** As the server's keeper. */
  query(database: string, text: string): Promise<Record<string, unknown>[]>;
  /** SIGKILL, as a power cut or the system out of memory does it. */
  kill(): void;
  /** Starts it again over what is there. */
  start(): Promise<void>;
  stop(): void;
}

export const POSTGRES_ABSENT = "PostgreSQL is not on this machine (Debian package postgresql)";

/** What the role `samescale` says over TCP; over the socket it is believed. */
export const TABLES_PASSWORD = "not-a-real-password-7f3a";

/** Null where PostgreSQL is absent: skip with `POSTGRES_ABSENT`. */
export async function startPostgres(): Promise<PostgresServer | null> {
  const programs = globSync("/usr/lib/postgresql/*/bin").sort().at(-1);
  if (programs === undefined || !existsSync(join(programs, "initdb"))) return null;
  const folder = mkdtempSync(join(roomFor(), "samescale-pg-"));
  const owner = ownerOfServer();
  if (owner.uid !== undefined) chownSync(folder, owner.uid, owner.gid as number);
  const data = join(folder, "data");
  const passwordFile = join(folder, "password");
  writeFileSync(passwordFile, TABLES_PASSWORD);
  const how = [
    "-U",
    "samescale",
    "--auth-local=trust",
    "--auth-host=scram-sha-256",
    `--pwfile=${passwordFile}`,
  ];
  // Only the making of the server is not waited for by the disk; the server itself runs with fsync on.
  const making = ["-D", data, "-E", "UTF8", "--locale=C.UTF-8", "--no-sync", "--data-checksums", ...how];
  execFileSync(join(programs, "initdb"), making, { stdio: "pipe", cwd: "/", ...owner });
  const port = 20_000 + (randomBytes(2).readUInt16BE() % 40_000);
  let child: ChildProcess | null = null;

  const connect = async (database: string) => {
    const client = new pg.Client({ host: folder, port, user: "samescale", database });
    client.on("error", () => {});
    await client.connect();
    return client;
  };

  const server: PostgresServer = {
    socket: folder,
    port,
    async freshDatabase() {
      const name = `t${randomBytes(6).toString("hex")}`;
      const order = "locale_provider icu icu_locale 'en-US'";
      await server.query("postgres", `create database ${name} template template0 ${order}`);
      return `postgresql://samescale@localhost:${port}/${name}?host=${encodeURIComponent(folder)}`;
    },
    overTcp: (address) => address.replace("localhost", "127.0.0.1").replace(/\?.*$/, ""),
    async query(database, text) {
      const client = await connect(database);
      try {
        return (await client.query(text)).rows;
      } finally {
        await client.end();
      }
    },
    kill() {
      if (child !== null) killWithChildren(child);
      child = null;
    },
    async start() {
      const begun = performance.now();
      for (;;) {
        const said: string[] = [];
        // Shared memory as files in its folder: a killed server leaves nothing elsewhere.
        const memory = ["-c", "dynamic_shared_memory_type=mmap"];
        const where = ["-k", folder, "-c", `port=${port}`, "-c", "listen_addresses=127.0.0.1", ...memory];
        const started = spawn(
          "setpriv",
          ["--pdeathsig", "KILL", join(programs, "postgres"), "-D", data, ...where],
          { stdio: ["ignore", "ignore", "pipe"], cwd: "/", ...owner },
        );
        started.stderr?.on("data", (piece) => said.push(String(piece)));
        if (await answers(started, connect)) {
          child = started;
          return;
        }
        // Its killed forerunner's children may still hold the shared memory for a moment.
        if (performance.now() - begun > 20_000)
          throw new Error(`PostgreSQL does not start:\n${said.join("")}`);
        await wait(100);
      }
    },
    stop() {
      server.kill();
      rmSync(folder, { recursive: true, force: true, maxRetries: 20, retryDelay: 50 });
    },
  };
  process.on("exit", () => server.stop());
  await server.start();
  return server;
}

/** All of it at once: a process of the server that outlived the first one could still commit. */
function killWithChildren({ pid }: ChildProcess): void {
  const children = readFileSync(`/proc/${pid}/task/${pid}/children`, "utf8").trim().split(" ");
  for (const each of [pid, ...children.map(Number)]) {
    try {
      if (each) process.kill(each, "SIGKILL");
    } catch {
      // it ended by itself
    }
  }
}

/** True when the server answers, false when it ended instead. */
async function answers(started: ChildProcess, connect: (database: string) => Promise<pg.Client>) {
  while (started.exitCode === null && started.signalCode === null) {
    const client = await connect("postgres").catch(() => null);
    await client?.end();
    if (client !== null) return true;
    await wait(30);
  }
  return false;
}

/**
 * In memory where there is room: what a killed process has written is kept there as the disk's cache keeps it, and the
 * other tests do not wait for the disk. The server's fsync stays on.
 */
function roomFor(): string {
  const memory = "/dev/shm";
  if (!existsSync(memory)) return tmpdir();
  const { bavail, bsize } = statfsSync(memory);
  return bavail * bsize > 2e9 ? memory : tmpdir();
}

/** The server refuses to run as root: then it runs as the user that its Debian package made. */
function ownerOfServer(): { uid?: number; gid?: number } {
  if (process.getuid?.() !== 0) return {};
  const id = (what: string) => Number(execFileSync("id", [what, "postgres"], { encoding: "utf8" }));
  return { uid: id("-u"), gid: id("-g") };
}
