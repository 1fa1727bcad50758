import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { type Actor, addAccount, addFirstAccount, doneOrThrow, ROLES, type Role } from "@samescale/desk";
import { type App, openApp } from "./harness.ts";

let app: App;
let role: Role = "photographer";
const begun: unknown[] = [];
/** Signed in as nobody: the person of this machine stands for each role in turn. */
before(async () => {
  app = await openApp({
    personHere: async (): Promise<Actor> => ({ name: "tester", role }),
    isDemonstration: true,
    startOver: (wanted) => begun.push(wanted),
  });
});
after(() => app.close());

const PHOTOGRAPHERS = ["photographer", "lead"];
const READ: readonly (readonly [string, readonly string[]])[] = [
  ["/practice", ROLES],
  ["/practice/rights", ROLES],
  ["/practice/view-sets", ROLES],
  ["/practice/view-sets/wound", PHOTOGRAPHERS],
  ["/practice/file?path=kit.yaml", PHOTOGRAPHERS],
  ["/practice/kit", ROLES],
  ["/practice/scales", ROLES],
  ["/practice/wordings", ROLES],
  ["/practice/retention", PHOTOGRAPHERS],
  ["/practice/keeping", PHOTOGRAPHERS],
  ["/practice/figures?from=2026-01-01&to=2026-02-01", PHOTOGRAPHERS],
  ["/practice/figures.csv?from=2026-01-01&to=2026-02-01", PHOTOGRAPHERS],
  ["/practice/scales/sheet.pdf?kind=l&paper=a4&count=1", PHOTOGRAPHERS],
  ["/first-run", PHOTOGRAPHERS],
  ["/demonstration", PHOTOGRAPHERS],
];
const WRITE: readonly (readonly ["POST" | "PATCH" | "DELETE" | "PUT", string, object])[] = [
  ["POST", "/practice/own", {}],
  ["POST", "/practice/check", { path: "kit.yaml", text: "version: 1\n" }],
  ["POST", "/practice/change", { path: "kit.yaml", before: null, text: "x" }],
  ["POST", "/practice/view-sets", { from: "wound", key: "x", name: "x" }],
  ["PATCH", "/practice/kit/body-1", { charged: true }],
  ["DELETE", "/practice/kit/body-1", {}],
  ["PUT", "/practice/kit/body-1/front", { measured: [] }],
  ["POST", "/practice/wordings", { scope: "teaching", version: "1", text: "x" }],
  ["POST", "/practice/holds", { code: "R-1", because: "x" }],
  ["POST", "/practice/backup", { place: "/x", passphrase: null }],
  ["POST", "/practice/backups", { place: "/x", passphrase: null }],
  ["POST", "/first-run/department", { department: "x", ageOfMajority: 18, number: null }],
  ["POST", "/first-run/kit", { things: [], keep: [] }],
  ["POST", "/demonstration/remove", { typed: "x", keepPractice: false }],
];

test("each role reads what is for it, and is refused the rest", async () => {
  for (role of ROLES) {
    for (const [path, may] of READ) {
      const { statusCode } = await app.inject({ url: `/api${path}`, headers: { host: "127.0.0.1" } });
      assert.equal(statusCode, may.includes(role) ? 200 : 403, `${role} ${path}`);
    }
    if (PHOTOGRAPHERS.includes(role)) continue;
    for (const [method, url, payload] of WRITE) {
      const headers = { host: "127.0.0.1", "x-samescale": "1" };
      const answer = await app.inject({
        method,
        url: `/api${url}`,
        headers,
        ...(method !== "DELETE" && { payload }),
      });
      assert.equal(answer.statusCode, 403, `${role} ${url}`);
    }
  }
});

test("the demonstration goes only when the department's name was typed, and after the answer", async () => {
  role = "photographer";
  const remove = (typed: string) =>
    app.inject({
      method: "POST",
      url: "/api/demonstration/remove",
      headers: { host: "127.0.0.1", "x-samescale": "1" },
      payload: { typed, keepPractice: true },
    });
  const wrong = await remove("clinical photography");
  assert.equal(wrong.json<{ code: string }>().code, "NOT_CONFIRMED");
  assert.deepEqual(begun, []);
  const right = await remove("Clinical Photography");
  assert.equal(right.statusCode, 200);
  await new Promise((resolve) => setImmediate(resolve));
  assert.deepEqual(begun, [{ keepPractice: true }]);
});

test("with accounts, the department's own rules and backup places are for the lead", async () => {
  const { openDesk, changePractice, practiceFile, startPractice } = await import("@samescale/desk");
  const { mkdtemp, rm } = await import("node:fs/promises");
  const { tmpdir } = await import("node:os");
  const { join } = await import("node:path");
  const around = await mkdtemp(join(tmpdir(), "samescale-practice-"));
  const desk = await openDesk(join(around, "library"));
  try {
    const folder = join(around, "library", "practice");
    await startPractice(folder);
    const password = "several plain words";
    const here: Actor = { name: "x", role: "photographer" };
    const admin = doneOrThrow(await addFirstAccount(desk, here, { login: "ada", name: "Ada", password }));
    const administrator: Actor = { name: "Ada", role: "administrator", personId: admin.id };
    const person = async (login: string, as: Role): Promise<Actor> => {
      const { id } = doneOrThrow(
        await addAccount(desk, administrator, { login, name: login, role: as, password }),
      );
      return { name: login, role: as, personId: id };
    };
    const { text, sha256 } = (await practiceFile(folder, "department.yaml"))!;
    const change = { folder, path: "department.yaml", before: sha256, text: `${text}# seen\n` };
    const asPhotographer = await changePractice(desk, await person("mara", "photographer"), change);
    assert.ok(!asPhotographer.done && /for the lead/.test(asPhotographer.reason));
    assert.ok((await changePractice(desk, await person("lea", "lead"), change)).done);
  } finally {
    await desk.close();
    await rm(around, { recursive: true, force: true });
  }
});
