import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { type TestContext, test } from "node:test";
import { checkInclusion, signedHeadText } from "@samescale/record";
import { type Desk, doneOrThrow, storeMeasurement, storeOutline } from "../../src/index.ts";
import { CHECK_THIS } from "../../src/release/forms/evidence/check-this.ts";
import { evidenceForm } from "../../src/release/forms/evidence/evidence.ts";
import { proofSteps } from "../../src/release/forms/evidence/proof-steps.ts";
import {
  addTwoRequests,
  freshDesk,
  HAND_LABEL,
  LEG_LABEL,
  MARA,
  makeCard,
  NOON,
  takeAll,
  temporaryFolder,
} from "../support.ts";
import { allFiles, evidenceContext } from "./form-context.ts";

const hasTools = ["sha256sum", "openssl"].every((tool) => spawnSync(tool, ["--version"]).error === undefined);
const skip = hasTools ? false : "sha256sum and openssl are not on this machine";

/** The page's own indented lines, as somebody would copy them. */
const LINES = CHECK_THIS.split("\n")
  .filter((line) => line.startsWith("    "))
  .map((line) => line.slice(4))
  .join("\n");

function checkByHand(bag: string, env: Readonly<Record<string, string>> = {}): string {
  const { stdout, stderr } = spawnSync("sh", ["-c", LINES], {
    cwd: bag,
    encoding: "utf8",
    env: { PATH: process.env.PATH, AUTHORITY: "", ...env },
  });
  return `${stdout}\n${stderr}`;
}

/** A label frame and one picture of one patient. */
async function deskWithLittle(t: TestContext): Promise<{ desk: Desk; leg: string }> {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  const card = await makeCard(await temporaryFolder(t), {
    "DCIM/100ABCDE/A0000001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100ABCDE/A0000002.JPG": { taken: "2026:03:15 09:01:00" },
  });
  await takeAll(desk, [card]);
  return { desk, leg };
}

async function deskWithEvidence(t: TestContext): Promise<{ desk: Desk; leg: string }> {
  const desk = await freshDesk(t);
  const { leg } = await addTwoRequests(desk);
  const card = await makeCard(await temporaryFolder(t), {
    "DCIM/100ABCDE/A0000001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100ABCDE/A0000002.JPG": { taken: "2026:03:15 09:01:00" },
    "DCIM/100ABCDE/A0000002.NEF": { taken: "2026:03:15 09:01:00", raw: true },
    "DCIM/100ABCDE/A0000003.JPG": { taken: "2026:03:15 09:02:00" },
    "DCIM/100ABCDE/A0000004.JPG": { taken: "2026:03:15 09:10:00", codes: [HAND_LABEL] },
    "DCIM/100ABCDE/A0000005.JPG": { taken: "2026:03:15 09:11:00" },
  });
  await takeAll(desk, [card]);
  const { id: frameId, sha256 } = await desk.library.read
    .selectFrom("frame")
    .innerJoin("file", "file.frame_id", "frame.id")
    .select(["frame.id", "file.sha256"])
    .where("frame.name", "=", "A0000003")
    .executeTakeFirstOrThrow();
  const recipe = { step: "outline", version: 1, parameters: {} };
  const outline = doneOrThrow(
    await storeOutline(desk, MARA, { frameId, recipe, inputs: [sha256], body: { regions: [] } }),
  );
  const inputs = [sha256, outline.sha256];
  doneOrThrow(
    await storeMeasurement(desk, MARA, {
      frameId,
      recipe: { ...recipe, step: "measure" },
      inputs,
      body: { regions: [] },
    }),
  );
  return { desk, leg };
}

async function unpack(folder: string, files: ReadonlyMap<string, Uint8Array>): Promise<string> {
  for (const [name, bytes] of files) {
    await mkdir(dirname(join(folder, name)), { recursive: true });
    await writeFile(join(folder, name), bytes);
  }
  return folder;
}

test("the page's own lines, typed in a shell, find nothing wrong in a bag, and the bag holds nothing of anybody else", {
  skip,
}, async (t) => {
  const { desk, leg } = await deskWithEvidence(t);
  const files = await allFiles(evidenceForm.files(await evidenceContext(desk, leg)));
  const bag = await unpack(await temporaryFolder(t), files);
  const said = checkByHand(bag);
  assert.doesNotMatch(said, /FAULT|rror/, said);
  assert.equal(said.match(/^ok/gm)?.length, 4, said);
  assert.match(said, /\d+ lines compared/);
  const all = [...files.values()].map((bytes) => bytes.toString("latin1")).join("\n");
  assert.doesNotMatch(all, /HN20002|Ben|R-2|A0000005/);
  // Originals byte for byte, label frame and RAW among them.
  const originals = [...files.keys()].filter((name) => name.startsWith("data/originals/"));
  assert.deepEqual(
    originals.map((name) => name.slice("data/originals/0001-".length)),
    ["A0000001.JPG", "A0000002.JPG", "A0000002.NEF", "A0000003.JPG"],
  );
  assert.ok([...files.keys()].some((name) => /^data\/made\/measurement-/.test(name)));
  const rows = [...files.keys()].filter((name) => name.startsWith("data/rows/"));
  for (const table of ["frame", "file", "intake", "request", "visit"]) {
    assert.ok(
      rows.some((name) => name.startsWith(`data/rows/${table}-`)),
      `${table} of ${rows}`,
    );
  }
  assert.match(files.get("data/receipt.json")!.toString(), /"to":"Dr B\. Example/);
  assert.equal(files.get("CHECK-THIS.txt")!.toString(), CHECK_THIS);
});

test("one flipped bit in any file of a bag is found by the page's lines", { skip }, async (t) => {
  const { desk, leg } = await deskWithLittle(t);
  const files = await allFiles(evidenceForm.files(await evidenceContext(desk, leg)));
  // The first block alone: what it passes, the others need not be asked about.
  const first = LINES.slice(0, LINES.indexOf("for head in"));
  const bag = await unpack(await temporaryFolder(t), files);
  let place = 1;
  for (const [name, bytes] of files) {
    place = (place * 16807) % 2147483647;
    const changed = Buffer.from(bytes);
    changed[place % changed.length]! ^= 1 << (place % 8);
    await writeFile(join(bag, name), changed);
    const { stdout } = spawnSync("sh", ["-c", first], { cwd: bag, encoding: "utf8" });
    assert.match(stdout, /FAULT/, name);
    await writeFile(join(bag, name), bytes);
  }
});

test("lists made anew over changed files do not help: the log, its tree and its signature tell of it", {
  skip,
}, async (t) => {
  const { desk, leg } = await deskWithEvidence(t);
  const files = await allFiles(evidenceForm.files(await evidenceContext(desk, leg)));
  const names = [...files.keys()];
  const text = (bytes: Buffer, change: (was: string) => string) => Buffer.from(change(bytes.toString()));
  type Forgery = readonly [which: RegExp, change: (bytes: Buffer) => Buffer, says: RegExp];
  const forgeries: readonly Forgery[] = [
    [
      /originals\/0004/,
      (b) => Buffer.concat([b, Buffer.from("x")]),
      /does not tell of data\/originals\/0004/,
    ],
    [
      /rows\/frame-/,
      (b) => text(b, (t) => t.replace('"picture"', '"label"')),
      /does not tell of data\/rows\/frame/,
    ],
    [
      /lines\/0*3$/,
      (b) => text(b, (t) => t.replace("photographer", "photographez")),
      /FAULT: line 0*3 does not stand/,
    ],
    [
      /proofs\.txt$/,
      (b) => text(b, (t) => t.replace(/(\n0*7 .*?)right /, "$1left ")),
      /FAULT: line 0*7 does not stand/,
    ],
    [/head\.txt$/, (b) => text(b, (t) => t.replace(/^time 2026/m, "time 2025")), /FAULT: the signature/],
  ];
  const forged = new Map(files);
  for (const [which, change] of forgeries) {
    const name = names.findLast((n) => which.test(n) && !change(files.get(n)!).equals(files.get(n)!));
    assert.ok(name, String(which));
    forged.set(name, change(files.get(name)!));
  }
  const bag = await unpack(await temporaryFolder(t), forged);
  const renewed =
    "for a in sha256 sha512; do find data -type f | sort | xargs $a'sum' > manifest-$a.txt; done;" +
    "for a in sha256 sha512; do $a'sum' bagit.txt bag-info.txt CHECK-THIS.txt manifest-*.txt > tagmanifest-$a.txt; done";
  assert.equal(spawnSync("sh", ["-c", renewed], { cwd: bag }).status, 0);
  const said = checkByHand(bag);
  assert.match(said, /^ok\n/, said);
  for (const [, , says] of forgeries) assert.match(said, says, said);
});

test("a stamped head goes along with its stamp; a key that took over is followed from the one before", {
  skip,
}, async (t) => {
  const { desk, leg } = await deskWithLittle(t);
  const authority = await temporaryFolder(t);
  await stampPresentHead(desk, authority);
  await desk.library.rotateKey("lead:mara", "yearly", false);
  const files = await allFiles(evidenceForm.files(await evidenceContext(desk, leg)));
  const bag = await unpack(await temporaryFolder(t), files);
  const said = checkByHand(bag, { AUTHORITY: join(authority, "root.pem") });
  assert.doesNotMatch(said, /FAULT/, said);
  assert.match(said, /^ok: [0-9a-f]{64} follows [0-9a-f]{64}$/m);
  assert.match(said, /^ok: .*time-stamp\.tsr$/m);
  assert.equal(said.match(/lines compared/g)?.length, 2);
  // Without the authority's certificate the last block says so, instead of passing.
  const last = LINES.slice(LINES.indexOf("authority=$("));
  const without = spawnSync("sh", ["-c", last], { cwd: bag, encoding: "utf8" });
  assert.match(without.stdout, /NOT CHECKED: no certificate/);
});

/** An authority of our own, made by openssl, stamps the present head. */
async function stampPresentHead(desk: Desk, folder: string): Promise<void> {
  const head = await desk.library.signHead();
  await writeFile(join(folder, "head.txt"), signedHeadText(head));
  await writeFile(
    join(folder, "tsa.cnf"),
    "[tsa]\ndefault_tsa = t\n[t]\nserial = ./serial\nsigner_digest = sha256\ndefault_policy = 1.2.3.4\ndigests = sha256\n[req]\ndistinguished_name = dn\n[dn]\n[ext]\nextendedKeyUsage = critical,timeStamping\n",
  );
  const made = spawnSync(
    "sh",
    [
      "-ec",
      `openssl req -x509 -config tsa.cnf -newkey ed25519 -nodes -keyout root.key -out root.pem -days 30 -subj /CN=root
       openssl req -config tsa.cnf -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -keyout tsa.key -out tsa.csr -subj /CN=authority
       openssl x509 -req -in tsa.csr -CA root.pem -CAkey root.key -CAcreateserial -out tsa.pem -days 30 -extfile tsa.cnf -extensions ext
       openssl ts -query -data head.txt -sha256 -cert -out head.tsq
       openssl ts -reply -config tsa.cnf -queryfile head.tsq -signer tsa.pem -inkey tsa.key -out head.tsr`,
    ],
    { cwd: folder, encoding: "utf8" },
  );
  assert.equal(made.status, 0, made.stderr);
  const reply = (await readFile(join(folder, "head.tsr"))).toString("base64");
  const row = { id: "01STAMP", size: head.size, reply, made_at: NOON.toISOString() };
  interface Table {
    insertInto(table: "time_stamp"): { values(row: object): { execute(): Promise<unknown> } };
  }
  await (desk.library.read as unknown as Table).insertInto("time_stamp").values(row).execute();
}

test("every step of a proof says its side: the same root as the log's own check, for trees of every shape", async () => {
  const { createHash } = await import("node:crypto");
  const sha = (...parts: (Uint8Array | string)[]) => {
    const hash = createHash("sha256");
    for (const part of parts) hash.update(part);
    return hash.digest("hex");
  };
  const leaf = (line: string) => sha(Uint8Array.of(0), line);
  const node = (left: string, right: string) =>
    sha(Uint8Array.of(1), Buffer.from(left, "hex"), Buffer.from(right, "hex"));
  // RFC 6962 2.1 as it reads, slow and literal.
  const split = (n: number) => 2 ** Math.floor(Math.log2(n - 1));
  const root = (lines: readonly string[]): string => {
    if (lines.length === 1) return leaf(lines[0]!);
    const k = split(lines.length);
    return node(root(lines.slice(0, k)), root(lines.slice(k)));
  };
  const path = (m: number, lines: readonly string[]): string[] => {
    if (lines.length === 1) return [];
    const k = split(lines.length);
    return m < k
      ? [...path(m, lines.slice(0, k)), root(lines.slice(k))]
      : [...path(m - k, lines.slice(k)), root(lines.slice(0, k))];
  };
  for (let size = 1; size <= 20; size++) {
    const lines = Array.from({ length: size }, (_, i) => `line ${i}\n`);
    for (let m = 0; m < size; m++) {
      const proof = path(m, lines);
      let hash = leaf(lines[m]!);
      for (const { side, hash: other } of proofSteps(m + 1, size, proof)) {
        hash = side === "left" ? node(other, hash) : node(hash, other);
      }
      assert.equal(hash, root(lines), `${m} of ${size}`);
      assert.ok(checkInclusion({ line: lines[m]!, sequence: m + 1, size, root: root(lines), proof }));
    }
  }
});
