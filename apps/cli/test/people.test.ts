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
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { addFirstAccount, doneOrThrow, logLines, openDesk } from "@samescale/desk";

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

test("with accounts nothing is done and no page is shown before somebody signs in", () => {
  const unsigned = samescale(["people", "list"]);
  assert.deepEqual([unsigned.status, unsigned.stdout], [1, ""]);
  assert.match(unsigned.stderr, /nobody is signed in[\s\S]*SIGN_IN_NEEDED/);
  const served = samescale(["serve", "--port", "0"]);
  assert.deepEqual([served.status, served.stdout], [1, ""]);
  assert.match(served.stderr, /PAGES_WITHOUT_SIGN_IN/);
  const wrong = samescale(["people", "sign-in", "ada"], `${WRONG}\n`);
  assert.deepEqual([wrong.status, wrong.stdout], [2, ""]);
  assert.match(wrong.stderr, /Name or password is not right/);
});

test("the session lies in a file for nobody else's eyes; one that others can read, or a link, is refused", async () => {
  const signedIn = samescale(["people", "sign-in", "ada"], `${PASSWORD}\r\n`);
  assert.match(signedIn.stdout, /^Ada Blum, administrator, until \d{4}-/, signedIn.stderr);
  const [name, ...others] = readdirSync(sessions);
  assert.deepEqual(others, [], "written under another name and renamed");
  const file = join(sessions, name!);
  const token = readFileSync(file, "utf8").trim();
  if (process.platform !== "win32") {
    assert.deepEqual([statSync(file).mode & 0o777, statSync(sessions).mode & 0o777], [0o600, 0o700]);
    chmodSync(file, 0o644);
    const open = samescale(["people", "list"]);
    assert.equal(open.status, 2);
    assert.match(open.stderr, /others can read it/);
  }
  const elsewhere = join(folder, "elsewhere");
  writeFileSync(elsewhere, token, { mode: 0o600 });
  rmSync(file);
  symlinkSync(elsewhere, file);
  assert.match(samescale(["people", "list"]).stderr, /not used to sign in/);
  rmSync(file);

  const byToken = { SAMESCALE_SESSION: token };
  const list = samescale(["people", "list", "--json"], "", byToken);
  const ada = { login: "ada", name: "Ada Blum", role: "administrator", state: "active", openSessions: 1 };
  assert.deepEqual(JSON.parse(list.stdout), ada);
  assert.equal(samescale(["people", "sign-out"], "", byToken).status, 0);
  assert.match(samescale(["people", "list"], "", byToken).stderr, /SIGN_IN_NEEDED/);

  const desk = await openDesk(library, { mode: "read" });
  const log: string[] = [];
  for await (const line of logLines(desk)) log.push(line);
  await desk.close();
  assert.match(log.join("\n"), /session\.begin/);
  for (const secret of [token, PASSWORD, WRONG]) {
    assert.ok(![...said, ...log].join("\n").includes(secret), "no secret is said or logged");
  }
});
