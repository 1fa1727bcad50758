import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { chmodSync, copyFileSync, mkdirSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { Agent, type IncomingMessage, request as plainRequest } from "node:http";
import { request } from "node:https";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { after, type TestContext, test } from "node:test";
import { addFirstAccount, openDesk } from "@samescale/desk";
import { POSTGRES_ABSENT, startServers } from "../../../packages/record/test/servers/library-elsewhere.ts";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const PASSWORD = "one lamp two shadows";

const servers = await startServers();
after(async () => {
  await servers?.stop();
});

async function temporaryFolder(t: TestContext): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-serve-"));
  t.after(() => rm(folder, { recursive: true, force: true }));
  return folder;
}

/** Not waited for in one piece: the store answers from this very process. */
async function run(args: readonly string[]): Promise<{ status: number; stderr: string }> {
  const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", MAIN, ...args]);
  let stderr = "";
  child.stderr.on("data", (piece) => {
    stderr += String(piece);
  });
  const [status] = await once(child, "close");
  return { status, stderr };
}

async function withAccount(library: string): Promise<void> {
  const desk = await openDesk(library);
  const here = { name: "tester", role: "photographer" } as const;
  const done = await addFirstAccount(desk, here, { login: "ada", name: "Ada Blum", password: PASSWORD });
  assert.equal(done.done, true);
  await desk.close();
}

/** A certificate of its own for `photos.example`; null where openssl is absent. */
function certificate(folder: string, name: string): { cert: string; key: string } | null {
  const [cert, key] = [join(folder, `${name}.pem`), join(folder, `${name}-key.pem`)];
  const made = spawnSync("openssl", [
    ...["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "2"],
    ...["-subj", "/CN=photos.example", "-addext", "subjectAltName=DNS:photos.example"],
    ...["-keyout", key, "-out", cert],
  ]);
  return made.status === 0 ? { cert, key } : null;
}

async function serve(library: string, args: readonly string[], env: NodeJS.ProcessEnv = {}) {
  const child = spawn(
    process.execPath,
    ["--disable-warning=ExperimentalWarning", MAIN, "serve", "--library", library, "--port", "0", ...args],
    { stdio: ["ignore", "pipe", "pipe"], env: { ...process.env, ...env } },
  );
  let log = "";
  child.stderr.on("data", (piece) => {
    log += String(piece);
  });
  for await (const line of createInterface({ input: child.stdout })) {
    if (line.startsWith("Open ")) {
      const stop = async () => {
        child.kill("SIGTERM");
        const [status] = await once(child, "exit");
        return { status, log };
      };
      return { line, child, stop };
    }
  }
  throw new Error(log);
}

test("beyond this machine it does not start without accounts, without TLS, without its name", async (t) => {
  const library = join(await temporaryFolder(t), "library");
  await (await openDesk(library)).close();
  const refused = async (code: string, ...args: string[]) => {
    const { status, stderr } = await run(["serve", "--library", library, "--port", "0", ...args]);
    assert.match(stderr, new RegExp(`\\[${code}\\]`));
    assert.equal(status, code === "BAD_ARGUMENTS" ? 2 : 1);
  };
  await refused("SERVE_NEEDS_ACCOUNTS", "--host", "0.0.0.0");
  await refused("SERVE_NEEDS_ACCOUNTS", "--behind-proxy", "127.0.0.1", "--name", "photos.example");
  await withAccount(library);
  await refused("SERVE_NEEDS_TLS", "--host", "0.0.0.0", "--name", "photos.example");
  await refused("SERVE_NEEDS_NAME", "--host", "0.0.0.0", "--behind-proxy", "127.0.0.1");
  await refused("BAD_ARGUMENTS", "--host", "everywhere");
  await refused("BAD_ARGUMENTS", "--behind-proxy", "10.0.0.0/33");
  await refused("BAD_ARGUMENTS", "--log", "loud");
  await refused("BAD_ARGUMENTS", "--tls-certificate", "x.pem");
});

test("with TLS of its own: certificate and key are held against each other, then it is served under its name", async (t) => {
  const folder = await temporaryFolder(t);
  const [one, other] = [certificate(folder, "one"), certificate(folder, "other")];
  if (!one || !other) return t.skip("openssl is not on this machine");
  const library = join(folder, "library");
  await withAccount(library);
  const beyond = ["--host", "127.0.0.1", "--name", "photos.example", "--tls-certificate", one.cert];
  const fails = async (key: string) =>
    (await run(["serve", "--library", library, ...beyond, "--tls-key", key])).stderr;
  assert.match(await fails(other.key), /belongs to another certificate/);
  assert.match(await fails(one.cert), /key cannot be read|others on this machine/);
  chmodSync(one.key, 0o644);
  assert.match(await fails(one.key), /others on this machine can read it/);
  chmodSync(one.key, 0o600);

  const { line, child, stop } = await serve(library, [...beyond, "--tls-key", one.key, "--log", "info"]);
  const port = Number(line.match(/^Open https:\/\/photos\.example:(\d+)\/$/)?.[1]);
  const ask = (path: string, servername = "photos.example") =>
    new Promise<{ status: number; headers: NodeJS.Dict<string | string[]>; subject: string }>(
      (done, fail) => {
        const asked = request({
          ...{ host: "127.0.0.1", port, path, servername, rejectUnauthorized: false, agent: false },
          headers: { host: `${servername}:${port}` },
        });
        asked.once("error", fail);
        asked.once("response", (answer) => {
          const socket = answer.socket as import("node:tls").TLSSocket;
          answer.resume();
          const subject = socket.getPeerCertificate().fingerprint256;
          done({ status: answer.statusCode ?? 0, headers: answer.headers, subject });
        });
        asked.end();
      },
    );
  const first = await ask("/api/health");
  assert.equal(first.status, 200);
  assert.match(String(first.headers["strict-transport-security"]), /max-age=31536000/);
  assert.equal((await ask("/api/health", "evil.example")).status, 421);
  assert.equal((await ask("/api/jobs")).status, 401);

  for (const kind of ["cert", "key"] as const) copyFileSync(other[kind], one[kind]);
  child.kill("SIGHUP");
  let renewed = first;
  for (let i = 0; i < 100 && renewed.subject === first.subject; i++) {
    await new Promise((done) => setTimeout(done, 50));
    renewed = await ask("/api/health");
  }
  assert.notEqual(renewed.subject, first.subject, "the certificate was read anew");

  const { status, log } = await stop();
  assert.equal(status, 0, log);
  assert.match(log, /"route":"GET \/api\/jobs","status":401/);
});

test("a department's library, PostgreSQL and an object store: served, signed in, stopped", async (t) => {
  if (servers === null) return t.skip(POSTGRES_ABSENT);
  const { tables, originals, endpoint } = await servers.freshPlaces();
  const library = join(await temporaryFolder(t), "library");
  mkdirSync(library, { mode: 0o700 });
  const places = ["--tables", tables, "--originals", originals, "--endpoint", endpoint];
  const started = await run(["library", "start", "--library", library, ...places]);
  assert.equal(started.status, 0, started.stderr);
  await withAccount(library);
  const { line, stop } = await serve(library, []);
  const url = line.slice("Open ".length);
  const headers = { "content-type": "application/json", "x-samescale": "1" };
  const body = JSON.stringify({ login: "ada", password: PASSWORD });
  const signedIn = await fetch(`${url}api/people/sign-in`, { method: "POST", headers, body });
  assert.equal(signedIn.status, 200, await signedIn.clone().text());
  const cookie = signedIn.headers.getSetCookie()[0]!.split(";", 1)[0]!;
  const people = await fetch(`${url}api/people/accounts`, { headers: { cookie } });
  assert.deepEqual(
    ((await people.json()) as { login: string; openSessions: number }[]).map(
      ({ login, openSessions }) => `${login} ${openSessions}`,
    ),
    ["ada 1"],
  );
  const stream = await fetch(`${url}api/events`, { headers: { cookie } });
  const reader = stream.body!.getReader();
  await reader.read();
  const { status, log } = await stop();
  assert.equal(status, 0, log);
});

test("told to end while somebody sends: that is answered, and a connection kept for more is not waited for", async (t) => {
  const library = join(await temporaryFolder(t), "library");
  await (await openDesk(library)).close();
  const { line, child, stop } = await serve(library, []);
  const agent = new Agent({ keepAlive: true });
  t.after(() => agent.destroy());
  const body = JSON.stringify({ login: "ada", password: PASSWORD });
  const headers = { "content-type": "application/json", "x-samescale": "1", "content-length": body.length };
  const sending = plainRequest(`${line.slice("Open ".length)}api/people/sign-in`, {
    ...{ agent, method: "POST", headers },
  });
  const answered = once(sending, "response") as Promise<[IncomingMessage]>;
  sending.write(body.slice(0, 5));
  // It has to have reached the server.
  await new Promise((done) => setTimeout(done, 500));
  const ended = stop();
  await new Promise((done) => setTimeout(done, 500));
  assert.equal(child.exitCode, null, "what is being sent is waited for");
  const sentAt = performance.now();
  sending.end(body.slice(5));
  const [answer] = await answered;
  answer.resume();
  assert.equal(answer.statusCode, 401);
  const { status, log } = await ended;
  assert.equal(status, 0, log);
  // Connections that are left open are cut after 30 s.
  const seconds = (performance.now() - sentAt) / 1000;
  assert.ok(seconds < 15, `it ended ${seconds.toFixed(1)} s after the answer`);
});
