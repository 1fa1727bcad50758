import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import {
  chmodSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { addFirstAccount, doneOrThrow, logLines, openDesk } from "@samescale/desk";
import { forgetToken, keepToken, keptToken, sessionFile } from "../src/frame/session-file.ts";

const main = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-people-"));
after(() => rmSync(folder, { recursive: true, force: true }));
const library = join(folder, "library");
const sessions = join(folder, "state", "samescale", "sessions");
const PASSWORD = "one lamp two shadows";
const WRONG = "a wrong password";
const quick = {
  ...process.env,
  ...{ SAMESCALE_LIBRARY: library, SAMESCALE_SESSION: "", XDG_STATE_HOME: join(folder, "state") },
  NODE_COMPILE_CACHE: join(folder, "compiled"),
};

/** Every run's words, to be searched for what must never be said. */
const said: string[] = [];

function samescale(args: readonly string[], input = "", env: Record<string, string> = {}) {
  const run = spawnSync(process.execPath, [main, ...args], {
    ...{ cwd: folder, encoding: "utf8", input },
    env: { ...quick, ...env },
  });
  said.push(run.stdout, run.stderr);
  return { status: run.status, stdout: run.stdout, stderr: run.stderr };
}

before(async () => {
  const desk = await openDesk(library);
  const account = { login: "ada", name: "Ada Blum", password: PASSWORD };
  doneOrThrow(await addFirstAccount(desk, { name: "mara", role: "photographer" }, account));
  await desk.close();
});

test("the session lies in a file for nobody else's eyes; one that others can read, or a link, is refused", async (t) => {
  process.env.XDG_STATE_HOME = join(folder, "other-state");
  const file = sessionFile(library);
  assert.equal(await keptToken(library), null);
  await keepToken(library, "the first");
  await keepToken(join(library, "..", "library"), "the second");
  assert.equal(await keptToken(library), "the second", "one file, however the library is named");
  assert.notEqual(sessionFile(folder), file);
  assert.equal(readdirSync(dirname(file)).length, 1, "written under another name and renamed");
  if (process.platform === "win32") return t.skip("file modes are those of POSIX");
  assert.deepEqual([statSync(file).mode & 0o777, statSync(dirname(file)).mode & 0o777], [0o600, 0o700]);
  for (const mode of [0o644, 0o640, 0o604, 0o620]) {
    chmodSync(file, mode);
    await assert.rejects(keptToken(library), /others can read it/, mode.toString(8));
  }
  const elsewhere = join(folder, "elsewhere");
  writeFileSync(elsewhere, "planted", { mode: 0o600 });
  rmSync(file);
  symlinkSync(elsewhere, file);
  await assert.rejects(keptToken(library), /not used to sign in/);
  await keepToken(library, "the third");
  assert.equal(readFileSync(elsewhere, "utf8"), "planted", "a link is replaced, not followed");
  await forgetToken(library);
  assert.equal(await keptToken(library), null);
});

test("signed in and out with a password from standard input, no secret is told", async () => {
  const wrong = samescale(["people", "sign-in", "ada"], `${WRONG}\n`);
  assert.deepEqual([wrong.status, wrong.stdout], [2, ""]);
  assert.match(wrong.stderr, /Name or password is not right/);

  const signedIn = samescale(["people", "sign-in", "ada"], `${PASSWORD}\r\n`);
  assert.match(signedIn.stdout, /^Ada Blum, administrator, until \d{4}-/, signedIn.stderr);
  const [name] = readdirSync(sessions);
  const token = readFileSync(join(sessions, name!), "utf8").trim();
  const list = samescale(["people", "list", "--json"]);
  const ada = { login: "ada", name: "Ada Blum", role: "administrator", state: "active", openSessions: 1 };
  assert.deepEqual(JSON.parse(list.stdout), ada);
  assert.equal(samescale(["people", "sign-out"]).status, 0);
  assert.deepEqual(readdirSync(sessions), []);
  const over = samescale(["people", "list"], "", { SAMESCALE_SESSION: token });
  assert.deepEqual([over.status, over.stdout], [1, ""]);
  assert.match(over.stderr, /nobody is signed in[\s\S]*SIGN_IN_NEEDED/);

  const desk = await openDesk(library, { mode: "read" });
  const log: string[] = [];
  for await (const line of logLines(desk)) log.push(line);
  await desk.close();
  assert.match(log.join("\n"), /session\.begin/);
  for (const secret of [token, PASSWORD, WRONG]) {
    assert.ok(![...said, ...log].join("\n").includes(secret), "no secret is said or logged");
  }
});
