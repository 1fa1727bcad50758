import assert from "node:assert/strict";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import type { Role } from "@samescale/desk";
import { unzipSync } from "fflate";
import sharp from "sharp";
import { openAppWithPeople, type Signed, signInEveryRole } from "./accounts.ts";
import type { App } from "./harness.ts";

let app: App;
let folder: string;
let as: Readonly<Record<Role, Signed>>;
let frameId: string;
let sha256: string;

before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-custody-"));
  const at = await openAppWithPeople({ cardFolders: [join(folder, "allowed")] });
  app = at.app;
  as = await signInEveryRole(at);
  const card = join(folder, "allowed", "CARD");
  await mkdir(card, { recursive: true });
  await mkdir(join(folder, "elsewhere"));
  const picture = sharp({ create: { width: 320, height: 240, channels: 3, background: "#a08070" } });
  await writeFile(join(card, "A.JPG"), await picture.jpeg().toBuffer());
  const taken = await ask("POST", "/card/take-in", as.photographer, { folder: card });
  const { value } = await done(taken.answer.job, as.photographer);
  sha256 = value.files[0].sha256;
  const { cards } = (await ask("GET", "/card/waiting", as.photographer)).answer;
  frameId = cards[0].groups[0].frames[0].frameId;
});
after(async () => {
  await app.close();
  await rm(folder, { recursive: true, force: true });
});

async function ask(method: "GET" | "POST", path: string, headers: object, payload?: object) {
  const answer = await app.inject({
    method,
    url: `/api${path}`,
    headers: { ...headers },
    ...(payload ? { payload } : {}),
  });
  const isJson = String(answer.headers["content-type"]).includes("json");
  return { status: answer.statusCode, answer: isJson ? answer.json() : null, raw: answer };
}

async function done(job: string, headers: object) {
  for (;;) {
    const { answer } = await ask("GET", `/jobs/${job}`, headers);
    if (answer.state !== "running") return answer;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

test("the log is read by those who answer for it, by day, act and person, page by page", async () => {
  const all = (await ask("GET", "/custody/log", as.auditor)).answer;
  assert.ok(all.lines.length > 5);
  assert.deepEqual(
    all.lines.map(({ entry }: { entry: number }) => entry),
    all.lines.map(({ entry }: { entry: number }) => entry).toSorted((a: number, b: number) => b - a),
  );
  const kept = (await ask("GET", "/custody/log?act=file", as.lead)).answer.lines;
  assert.deepEqual(
    kept.map(({ act, called, frameId: of }: Record<string, string>) => [act, called, of]),
    [["file.store", "A.JPG", frameId]],
  );
  assert.equal((await ask("GET", "/custody/log?person=nobody-here", as.lead)).answer.lines.length, 0);
  assert.equal((await ask("GET", "/custody/log?person=%25", as.lead)).status, 200);
  assert.equal((await ask("GET", "/custody/log?day=1999-01-01", as.lead)).answer.lines.length, 0);
  const before_ = (await ask("GET", `/custody/log?before=${all.lines[2].entry}`, as.lead)).answer.lines;
  assert.equal(before_[0].entry, all.lines[3].entry);
  for (const bad of ["day=yesterday", "act=Drop%20Table", "before=0", "before=x", "more=1"]) {
    assert.equal((await ask("GET", `/custody/log?${bad}`, as.lead)).status, 400, bad);
  }
  for (const role of ["requester", "viewer", "administrator"] as const) {
    for (const path of [
      "/custody/log",
      `/custody/frames/${frameId}`,
      "/custody/heads",
      "/custody/frames?text=A",
    ]) {
      assert.equal((await ask("GET", path, as[role])).status, 403, `${role} ${path}`);
    }
  }
});

test("a frame's story begins with its card; an auditor reads it without the picture", async () => {
  const { answer } = await ask("GET", `/custody/frames/${frameId}`, as.auditor);
  assert.equal(answer.frame.mayLook, false);
  assert.equal(answer.frame.originals[0].sha256, sha256);
  assert.deepEqual(
    answer.lines.map(({ act }: { act: string }) => act),
    ["intake.begin", "file.store", "intake.finish"],
  );
  assert.equal((await ask("GET", `/pictures/${sha256}/thumbnail`, as.auditor)).status, 403);
  assert.equal((await ask("GET", `/custody/frames/${frameId}`, as.photographer)).answer.frame.mayLook, true);
  assert.equal((await ask("GET", "/custody/frames/none", as.lead)).status, 404);
  assert.equal((await ask("GET", "/custody/frames/..%2f..", as.lead)).status, 404);
  const found = await ask("GET", "/custody/frames?text=A", as.auditor);
  assert.deepEqual(
    found.answer.map(({ id }: { id: string }) => id),
    [frameId],
  );
});

test("everything is verified on demand; a head that was kept elsewhere and does not fit is a fault", async () => {
  const good = await done((await ask("POST", "/custody/verify", as.auditor, {})).answer.job, as.auditor);
  assert.equal(good.value.holds, true, JSON.stringify(good.value.faults));
  assert.equal(good.value.counts.originals, 1);
  const [size, hash] = good.value.head.split(":");
  const other = `${size}:${hash.startsWith("0") ? "1" : "0"}${hash.slice(1)}`;
  const bad = await done(
    (await ask("POST", "/custody/verify", as.lead, { head: other })).answer.job,
    as.lead,
  );
  assert.equal(bad.value.holds, false);
  assert.ok(bad.value.faults.length >= 1);
  assert.equal((await ask("POST", "/custody/verify", as.lead, { head: "17" })).status, 400);
  assert.equal((await ask("POST", "/custody/verify", as.requester, {})).status, 403);
});

test("heads are signed by those who keep records and saved by those who audit them", async () => {
  assert.equal((await ask("POST", "/custody/heads", as.auditor, {})).status, 403);
  const { size } = (await ask("POST", "/custody/heads", as.photographer, {})).answer;
  const { heads, authority } = (await ask("GET", "/custody/heads", as.auditor)).answer;
  assert.equal(heads[0].size, size);
  assert.equal(authority, null);
  const { raw } = await ask("GET", `/custody/heads/${size}/signed-head.txt`, as.auditor);
  assert.match(raw.body, new RegExp(`^samescale signed head 1\nsize ${size}\n`));
  assert.match(String(raw.headers["content-disposition"]), /attachment/);
  assert.equal((await ask("GET", "/custody/heads/999999/signed-head.txt", as.auditor)).status, 404);
  const refused = await ask("POST", "/custody/stamps/ask", as.lead, {});
  assert.equal(refused.status, 409);
  const query = await ask("POST", "/custody/stamps/query", as.lead, {});
  assert.ok(query.raw.rawPayload.length > 40);
  const nonsense = { query: query.raw.rawPayload.toString("base64"), reply: "AAAA" };
  assert.equal((await ask("POST", "/custody/stamps", as.lead, nonsense)).status, 400);
  assert.equal((await ask("POST", "/custody/stamps", as.lead, { query: "?", reply: "?" })).status, 400);
});

test("proofs come as one archive of plain files", async () => {
  const wanted = { subjects: [`frame/${frameId}`, `file/${sha256}`], entries: [], since: null };
  const { raw } = await ask("POST", "/custody/proofs", as.auditor, wanted);
  const names = Object.keys(unzipSync(raw.rawPayload));
  assert.ok(names.includes("HOW-TO-CHECK.txt") && names.includes("signed-head.txt"));
  assert.ok(names.some((name) => /^entry-\d+\.line$/.test(name)));
  const bad = await ask("POST", "/custody/proofs", as.auditor, { ...wanted, subjects: ["../etc"] });
  assert.equal(bad.answer.code, "BAD_SUBJECT");
  assert.equal((await ask("POST", "/custody/proofs", as.viewer, wanted)).status, 403);
});

test("with accounts, cards are taken in below the allowed folders only, there or not", async () => {
  const { folders, anyFolder } = (await ask("GET", "/card/folders", as.photographer)).answer;
  assert.equal(anyFolder, false);
  assert.deepEqual(
    folders.map(({ name }: { name: string }) => name),
    ["CARD"],
  );
  const named = [
    join(folder, "elsewhere"),
    join(folder, "none"),
    join(folder, "allowed", "..", "elsewhere"),
    "/",
  ];
  const answers = await Promise.all(
    named.map((path) => ask("POST", "/card/take-in", as.photographer, { folder: path })),
  );
  for (const { status, answer } of answers) {
    assert.equal(status, 403);
    assert.equal(answer.message, "Cards are not taken in from this folder");
  }
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const) {
    for (const path of ["/card/folders", "/card/drops", "/card/intakes", "/card/waiting", "/card/clocks"]) {
      assert.equal((await ask("GET", path, as[role])).status, 403, `${role} ${path}`);
    }
  }
});
