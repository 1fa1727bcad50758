import assert from "node:assert/strict";
import { createHash } from "node:crypto";
import { existsSync } from "node:fs";
import { cp, mkdir, mkdtemp, readdir, rm, symlink, writeFile } from "node:fs/promises";
import { connect } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import sharp from "sharp";
import { type App, openApp } from "./harness.ts";

const OWN = { host: "127.0.0.1", "x-samescale": "1" };
const TUS = { ...OWN, "tus-resumable": "1.0.0" };
let app: App;
let folder: string;
let dropFolder: string;
let picture: Buffer;
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-card-"));
  dropFolder = join(folder, "dropped");
  app = await openApp({ dropFolder });
  picture = await sharp({ create: { width: 320, height: 240, channels: 3, background: "#a08070" } })
    .jpeg()
    .toBuffer();
});
after(async () => {
  await app.close();
  await rm(folder, { recursive: true, force: true });
});

const sha256 = (bytes: Buffer) => createHash("sha256").update(bytes).digest("hex");
const base64 = (text: string) => Buffer.from(text).toString("base64");
const said = (path: string, hash: string | null, modifiedMs = 1_700_000_000_000) =>
  [`path ${base64(path)}`, `modifiedMs ${base64(String(modifiedMs))}`, hash && `sha256 ${base64(hash)}`]
    .filter(Boolean)
    .join(",");

async function begin(declared: object): Promise<string> {
  const answer = await app.inject({
    method: "POST",
    url: "/api/card/drops",
    headers: OWN,
    payload: declared,
  });
  assert.equal(answer.statusCode, 200, answer.body);
  return answer.json<{ id: string }>().id;
}

const create = (drop: string, bytes: number, metadata: string, headers: object = {}) =>
  app.inject({
    method: "POST",
    url: `/api/card/drop/${drop}`,
    headers: { ...TUS, "upload-length": String(bytes), "upload-metadata": metadata, ...headers },
  });

const patch = (location: string, offset: number, body: Buffer, headers: object = {}) =>
  app.inject({
    method: "PATCH",
    url: location,
    headers: {
      ...TUS,
      "upload-offset": String(offset),
      "content-type": "application/offset+octet-stream",
      ...headers,
    },
    payload: body,
  });

async function send(drop: string, path: string, bytes: Buffer, hash: string | null = sha256(bytes)) {
  const created = await create(drop, bytes.length, said(path, hash));
  assert.equal(created.statusCode, 201, created.body);
  return await patch(String(created.headers.location), 0, bytes);
}

async function done(job: string) {
  for (;;) {
    const answer = await app.inject({ url: `/api/jobs/${job}`, headers: OWN });
    const { state, value, error } = answer.json();
    if (state !== "running") return { state, value, error };
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

test("a dropped card is sent in parts, taken in, compared with what the browser read, and gone from the drop", async () => {
  const files = {
    "CARD/DCIM/A.JPG": picture,
    "CARD/DCIM/notes.txt": Buffer.from("not a picture"),
  };
  const bytes = Object.values(files).reduce((sum, file) => sum + file.length, 0);
  const drop = await begin({ folder: "CARD", files: 2, bytes });
  const created = await create(drop, picture.length, said("DCIM/A.JPG", sha256(picture)));
  const location = String(created.headers.location);
  assert.match(location, new RegExp(`^/api/card/drop/${drop}/[0-9a-f-]{36}$`));

  assert.equal((await patch(location, 0, picture.subarray(0, 100))).headers["upload-offset"], "100");
  const wrong = await patch(location, 50, picture.subarray(50));
  assert.equal(wrong.statusCode, 409, "an offset that is not where it stands");
  assert.equal(wrong.json<{ code: string }>().code, "UPLOAD_REFUSED");
  const head = await app.inject({ method: "HEAD", url: location, headers: TUS });
  assert.equal(head.headers["upload-offset"], "100");
  assert.equal(head.headers["access-control-allow-origin"], undefined);
  assert.equal(head.headers["x-content-type-options"], "nosniff");

  const early = await app.inject({
    method: "POST",
    url: `/api/card/drops/${drop}/take-in`,
    headers: OWN,
    payload: { withoutTheRest: false },
  });
  assert.equal(early.json<{ code: string }>().code, "DROP_NOT_WHOLE");

  assert.equal((await patch(location, 100, picture.subarray(100))).statusCode, 204);
  assert.equal((await send(drop, "DCIM/notes.txt", files["CARD/DCIM/notes.txt"])).statusCode, 204);
  const begun = await app.inject({
    method: "POST",
    url: `/api/card/drops/${drop}/take-in`,
    headers: OWN,
    payload: { withoutTheRest: false },
  });
  const { state, value } = await done(begun.json<{ job: string }>().job);
  assert.equal(state, "done");
  assert.deepEqual(
    value.files.map(({ path, state: became, sha256: hash }: Record<string, string>) => [path, became, hash]),
    [
      ["DCIM/A.JPG", "stored", sha256(picture)],
      ["DCIM/notes.txt", "not-a-picture", null],
    ],
  );
  assert.equal(value.card, "CARD");
  assert.equal(value.summary.cardMayBeErased, false);
  assert.match(value.summary.why, /notes\.txt/);
  assert.equal(existsSync(join(dropFolder, "this-machine", drop)), false, "what is kept is removed here");
  const intakes = await app.inject({ url: "/api/card/intakes", headers: OWN });
  const [intake] = intakes.json();
  assert.deepEqual(intake.files, { stored: 1, already: 0, "not-a-picture": 1, unreadable: 0 });
  const whole = await app.inject({ url: `/api/card/intakes/${intake.id}`, headers: OWN });
  assert.equal(whole.json().files.length, 2);
});

test("an upload that is cut off in the middle of a part goes on where it stopped", async () => {
  const big = Buffer.alloc(3_000_000, 7);
  const drop = await begin({ folder: "CUT", files: 1, bytes: big.length });
  const location = String((await create(drop, big.length, said("B.JPG", sha256(big)))).headers.location);
  await app.listen({ host: "127.0.0.1", port: 0 });
  const { port } = app.server.address() as { port: number };
  await new Promise<void>((resolve) => {
    const socket = connect(port, "127.0.0.1", () => {
      const head = [
        `PATCH ${location} HTTP/1.1`,
        `Host: 127.0.0.1:${port}`,
        "X-Samescale: 1",
        "Tus-Resumable: 1.0.0",
        "Upload-Offset: 0",
        "Content-Type: application/offset+octet-stream",
        `Content-Length: ${big.length}`,
      ];
      socket.write(`${head.join("\r\n")}\r\n\r\n`);
      socket.write(big.subarray(0, 1_000_000), () =>
        setTimeout(() => {
          socket.destroy();
          resolve();
        }, 200),
      );
    });
  });
  let offset = 0;
  for (let tries = 0; tries < 100 && offset === 0; tries++) {
    const head = await app.inject({ method: "HEAD", url: location, headers: TUS });
    offset = Number(head.headers["upload-offset"]);
    if (offset === 0) await new Promise((resolve) => setTimeout(resolve, 50));
  }
  assert.ok(offset > 0 && offset <= 1_000_000, `${offset} bytes stayed`);
  const state = await app.inject({ url: `/api/card/drops/${drop}`, headers: OWN });
  assert.equal(state.json().begun[0].offset, offset);
  assert.equal((await patch(location, offset, big.subarray(offset))).statusCode, 204);
  assert.deepEqual(
    (await app.inject({ url: `/api/card/drops/${drop}`, headers: OWN }))
      .json()
      .here.map((file: { given: string }) => file.given),
    ["B.JPG"],
  );
  const removed = await app.inject({ method: "DELETE", url: `/api/card/drops/${drop}`, headers: OWN });
  assert.equal(removed.statusCode, 200);
});

test("a file that arrives changed is refused and begun anew; what is not as declared is refused", async () => {
  const drop = await begin({ folder: "X", files: 2, bytes: 2 * picture.length });
  const changed = await send(drop, "A.JPG", picture, sha256(Buffer.from("another")));
  assert.equal(changed.statusCode, 460);
  assert.equal(changed.json<{ code: string }>().code, "UPLOAD_CHANGED");
  assert.equal((await app.inject({ url: `/api/card/drops/${drop}`, headers: OWN })).json().here.length, 0);

  const refused: readonly (readonly [string, string, string])[] = [
    ["more than a camera makes", String(2e10), said("A.JPG", null)],
    ["more than was declared", String(3 * picture.length), said("A.JPG", null)],
    ["no size", "", said("A.JPG", null)],
    ["no name", "10", `modifiedMs ${base64("1")}`],
    ["no hash", "10", `path ${base64("A.JPG")},modifiedMs ${base64("1")},sha256 ${base64("zz")}`],
    ["a name too long", "10", said("n".repeat(1001), null)],
    ["nonsense", "10", "path ???"],
  ];
  for (const [what, length, metadata] of refused) {
    const answer = await create(drop, 0, metadata, { "upload-length": length });
    assert.ok([400, 413].includes(answer.statusCode), `${what}: ${answer.statusCode}`);
  }
  const more = await create(drop, 10, said("B.JPG", null));
  const tooLong = await patch(String(more.headers.location), 0, Buffer.alloc(500));
  assert.ok(tooLong.statusCode >= 400, "more bytes than the file has");
  const withoutOwnPage = await app.inject({
    method: "POST",
    url: `/api/card/drop/${drop}`,
    headers: { host: "127.0.0.1", "tus-resumable": "1.0.0", "upload-length": "1" },
  });
  assert.equal(withoutOwnPage.statusCode, 403);
  const endless = await app.inject({
    method: "POST",
    url: "/api/card/drops",
    headers: OWN,
    payload: { folder: "X", files: 1, bytes: 1e14 },
  });
  assert.equal(endless.statusCode, 507, "a disk that has no room for it is told before the first byte");
});

test("hostile names stay inside the drop, and two of one name are two", async () => {
  const names = [
    "../../../etc/passwd",
    "..\\..\\x.JPG",
    "/abs/y.JPG",
    "a\u202eGPJ.exe",
    "CON:z?.JPG",
    "...",
    "ä/é.JPG",
  ];
  const drop = await begin({ folder: "../..", files: names.length + 2, bytes: 100_000 });
  for (const [at, name] of names.entries()) {
    assert.equal((await send(drop, name, Buffer.from(`file ${at}`))).statusCode, 204, name);
  }
  await send(drop, "p|q.JPG", Buffer.from("one"));
  await send(drop, "p?q.JPG", Buffer.from("two"));
  const under = (await readdir(join(dropFolder, "this-machine", drop, "card"), { recursive: true })).sort();
  assert.deepEqual(
    under.filter((name) => /\.\.|:|\\|\u202e/.test(name)),
    [],
  );
  assert.ok(under.some((name) => name.endsWith("etc/passwd")));
  assert.ok(under.some((name) => name.endsWith("also-2/p_q.JPG")));
  assert.equal(existsSync(join(folder, "etc")), false);
});

test("somebody else's drop is one that is not there", async () => {
  const other = "0b0e5c1e-1111-4222-8333-944444444444";
  await mkdir(join(dropFolder, "somebody-else", other, "incoming"), { recursive: true });
  await writeFile(
    join(dropFolder, "somebody-else", other, "drop.json"),
    JSON.stringify({ id: other, folder: "X", files: 1, bytes: 10, begunAt: "2026-01-01T00:00:00Z" }),
  );
  for (const [method, url] of [
    ["GET", `/api/card/drops/${other}`],
    ["DELETE", `/api/card/drops/${other}`],
    ["POST", `/api/card/drop/${other}`],
    ["PATCH", `/api/card/drop/${other}/${other}`],
    ["HEAD", `/api/card/drop/${other}/${other}`],
  ] as const) {
    const answer = await app.inject({
      method,
      url,
      headers: { ...TUS, "upload-length": "1", "upload-offset": "0" },
    });
    assert.equal(answer.statusCode, 404, `${method} ${url}`);
  }
  const list = await app.inject({ url: "/api/card/drops", headers: OWN });
  assert.equal(
    list.json().some(({ id }: { id: string }) => id === other),
    false,
  );
  assert.ok(existsSync(join(dropFolder, "somebody-else", other)));
});

test("a folder of this machine is taken in; a path that is none, or not whole, is told", async () => {
  const card = join(folder, "at-the-server", "CARD-9");
  await mkdir(join(card, "DCIM"), { recursive: true });
  await writeFile(join(card, "DCIM", "C.JPG"), await sharp(picture).negate().jpeg().toBuffer());
  await symlink("/etc/passwd", join(card, "DCIM", "D.JPG"));
  const begun = await app.inject({
    method: "POST",
    url: "/api/card/take-in",
    headers: OWN,
    payload: { folder: card },
  });
  const { value } = await done(begun.json<{ job: string }>().job);
  assert.deepEqual(
    value.files.map(({ path, state }: Record<string, string>) => [path, state]),
    [
      ["DCIM/C.JPG", "stored"],
      ["DCIM/D.JPG", "not-a-picture"],
    ],
    "a link is not followed",
  );
  for (const [named, code] of [
    ["relative/folder", "FIELD_NOT_RIGHT"],
    [join(folder, "nothing"), "CARD_MISSING"],
    [join(card, "DCIM", "C.JPG"), "CARD_MISSING"],
  ]) {
    const answer = await app.inject({
      method: "POST",
      url: "/api/card/take-in",
      headers: OWN,
      payload: { folder: named },
    });
    assert.equal(answer.json<{ code: string }>().code, code, named);
  }
});

test("frames that wait are placed with a reason, and that placing alone is taken back", async () => {
  const waiting = await app.inject({ url: "/api/card/waiting", headers: OWN });
  const { cards } = waiting.json();
  const ids: string[] = cards.flatMap((card: { groups: { frames: { frameId: string }[] }[] }) =>
    card.groups.flatMap(({ frames }) => frames.map(({ frameId }) => frameId)),
  );
  assert.ok(ids.length >= 2);
  const place = (payload: object) =>
    app.inject({ method: "POST", url: "/api/card/place", headers: OWN, payload });
  assert.equal((await place({ frameIds: ids, request: null, because: " " })).statusCode, 400, "no reason");
  assert.equal((await place({ frameIds: ids, request: "R-NONE", because: "day sheet" })).statusCode, 404);
  assert.equal((await place({ frameIds: ["../x"], request: null, because: "x" })).statusCode, 400);
  assert.equal((await place({ frameIds: [ids[0]], request: null, because: "first" })).statusCode, 200);
  assert.equal((await place({ frameIds: [ids[1]], request: null, because: "second" })).statusCode, 200);
  const undo = (payload: object) =>
    app.inject({ method: "POST", url: "/api/card/place/undo", headers: OWN, payload });
  const first = await undo({ frameIds: [ids[0]] });
  assert.equal(first.json<{ because: string }>().because, "first", "the one that is meant, not the last");
  const again = await undo({ frameIds: [ids[0]] });
  assert.equal(again.statusCode, 409);
  const { lately } = (await app.inject({ url: "/api/card/waiting", headers: OWN })).json();
  assert.deepEqual(
    lately.map(({ because, isUndone }: { because: string; isUndone: boolean }) => [because, isUndone]),
    [
      ["second", false],
      ["first", true],
    ],
  );
});

test("a clock is put right only for a card that is there, by whole seconds", async () => {
  const put = (payload: object) =>
    app.inject({ method: "POST", url: "/api/card/clocks", headers: OWN, payload });
  const [intake] = (await app.inject({ url: "/api/card/intakes", headers: OWN })).json();
  const right = await put({ by: "seconds", intakeId: intake.id, offsetS: -3600, because: "summer time" });
  assert.equal(right.json<{ offsetS: number }>().offsetS, -3600, right.body);
  assert.equal(
    (await put({ by: "seconds", intakeId: intake.id, offsetS: 1.5, because: "x" })).statusCode,
    400,
  );
  assert.equal((await put({ by: "bookings", intakeId: "none" })).statusCode, 409);
  assert.equal((await put({ by: "frame", frameId: "none", shows: "2026-03-15 09:02:30" })).statusCode, 409);
});

test("what lay unfinished for longer than stated is removed", async () => {
  const old = join(dropFolder, "this-machine", "1b0e5c1e-1111-4222-8333-944444444444");
  await cp(join(dropFolder, "somebody-else", "0b0e5c1e-1111-4222-8333-944444444444"), old, {
    recursive: true,
  });
  const { openDrops } = await import("../src/routes/card/drops.ts");
  const drops = openDrops(dropFolder);
  assert.equal(await drops.sweep(Date.now()), 0);
  assert.ok((await drops.sweep(Date.now() + 8 * 86_400_000)) >= 2);
  assert.equal(existsSync(old), false);
});
