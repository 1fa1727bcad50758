import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { chmod, mkdir, stat, symlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { CONSENT_SCOPES } from "@samescale/practice";
import sharp from "sharp";
import {
  checkReleased,
  proposeMask,
  type ReleaseForm,
  type Role,
  releasesOf,
  reportForm,
  withdrawConsent,
} from "../../src/index.ts";
import { faultsOf, MARA } from "../support.ts";
import {
  allow,
  confirm,
  keepPicture,
  NOTHING_THERE,
  photograph,
  photographed,
  release,
  sha256Of,
  treeOf,
  wantedOf,
} from "./photographed.ts";

const reasonOf = (outcome: Awaited<ReturnType<typeof release>>) => {
  assert.equal(outcome.done, false);
  return (outcome as { reason: string }).reason;
};

async function logOf(job: Awaited<ReturnType<typeof photographed>>): Promise<string[]> {
  const acts = await job.desk.library.read.selectFrom("act").select("act").orderBy("sequence").execute();
  return acts.map(({ act }) => act).filter((act) => act.startsWith("release."));
}

test("what leaves for the requester: made anew, named by a counter, with a receipt that sha256sum and the log agree with", async (t) => {
  const job = await photographed(t);
  await allow(job, "requester");
  const outcome = await release(job, { expiresOn: "2026-12-31" });
  assert.ok(outcome.done, JSON.stringify(outcome));
  const { mark, folder, receipt, id } = outcome.value;
  const files = await treeOf(job.released);
  assert.deepEqual(
    [...files.keys()].sort(),
    [`${mark}-001.jpg`, `${mark}-002.jpg`, `receipt-${mark}.json`, `receipt-${mark}.txt`]
      .map((name) => `${folder}/${name}`)
      .sort(),
  );
  for (const { name, bytes, sha256 } of receipt.files) {
    const file = files.get(`${folder}/${name}`)!;
    assert.deepEqual([file.length, sha256Of(file)], [bytes, sha256]);
  }
  const sums = receipt.files.map(({ name, sha256 }) => `${sha256}  ${name}\n`).join("");
  execFileSync("sha256sum", ["--check", "--quiet", "-"], { cwd: join(job.released, folder), input: sums });
  const { act, details } = await job.desk.library.read
    .selectFrom("act")
    .select(["act", "details"])
    .where("subject", "=", `release/${id}`)
    .executeTakeFirstOrThrow();
  assert.equal(act, "release.out");
  assert.equal(JSON.parse(details).receiptSha256, sha256Of(files.get(`${folder}/receipt-${mark}.json`)!));
  assert.deepEqual(await logOf(job), ["release.out", "release.hand-over"]);
  assert.equal((await stat(join(job.released, folder, `${mark}-001.jpg`))).mode & 0o077, 0);
  assert.equal((await stat(join(job.released, folder))).mode & 0o077, 0);
  const { exif } = await sharp(files.get(`${folder}/${mark}-001.jpg`)).metadata();
  assert.ok(exif?.includes("Invented"));
  const text = files.get(`${folder}/receipt-${mark}.txt`)!.toString();
  assert.match(text, /To {10}Dr Example\n/);
  assert.match(text, /Use ends {4}2026-12-31\n/);
  assert.deepEqual(await faultsOf(job.desk), []);
});

test("all reasons at once, by frame, and nothing is written", async (t) => {
  const job = await photographed(t);
  await job.desk.library.write("x", async ({ update }) => {
    await update("frame", job.frames[1]!, {
      trashed_at: "2026-03-15T10:00:00.000Z",
      trashed_because: "blurred",
    });
    return { value: null, deed: { act: "test.trash", subject: "frame/x" } };
  });
  const reason = reasonOf(
    await release(job, {
      scope: "teaching",
      to: " ",
      purpose: "x\u0007",
      frames: [...job.frames, "nobody's"],
    }),
  );
  for (const part of [
    /who receives it/,
    /what it is for/,
    /IMG_1, IMG_2: Nobody has confirmed/,
    /IMG_1, IMG_2: No consent was given for teaching/,
    /IMG_2: It was put aside/,
    /nobody's: This is no picture of the request/,
  ]) {
    assert.match(reason, part);
  }
  assert.deepEqual([...(await treeOf(job.released)).keys()], []);
  assert.deepEqual(await logOf(job), []);
});

test("only photographers and the lead release; a request that somebody may not know of is not there", async (t) => {
  const job = await photographed(t);
  await allow(job, "requester");
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const satisfies readonly Role[]) {
    assert.match(reasonOf(await release(job, {}, undefined, { name: "x", role })), /not in the role/);
  }
  assert.match(
    reasonOf(await release(job, { requestId: "01ARZ3NDEKTSV4RRFFQ69G5FAV" })),
    /There is no request/,
  );
  assert.deepEqual(await logOf(job), []);
});

test("a label frame, a frame of another request, an unplaced one and one without its files never leave", async (t) => {
  const job = await photographed(t, 4);
  await allow(job, "requester");
  const [label, other, unplaced, gone] = job.frames as [string, string, string, string];
  await job.desk.library.write("x", async ({ update, tables }) => {
    await update("frame", label, { kind: "label" });
    await update("frame", other, { request_id: null });
    await update("frame", unplaced, { placed_by: null });
    const { sha256 } = await tables
      .selectFrom("file")
      .select("sha256")
      .where("frame_id", "=", gone)
      .executeTakeFirstOrThrow();
    await update("file", sha256, {
      destroyed_at: "2026-03-15T10:00:00.000Z",
      destroyed_because: "retention",
    });
    return { value: null, deed: { act: "test.change", subject: "frame/x" } };
  });
  const reason = reasonOf(await release(job));
  assert.match(reason, /IMG_1: It is the picture of a label/);
  assert.match(reason, /This is no picture of the request/);
  assert.match(reason, /IMG_3: Nobody has said yet whose picture/);
  assert.match(reason, /IMG_4: Its camera files are not here/);
});

test("teaching: nobody is named, no time, no metadata, masks of that very original", async (t) => {
  const job = await photographed(t);
  await allow(job, "teaching");
  const [first, second] = job.frames as [string, string];
  const square = [
    [30, 50],
    [90, 50],
    [90, 110],
    [30, 110],
  ] as const;
  const answers = { ...NOTHING_THERE, tattoo: "masked" };
  assert.ok((await confirm(job, first, { areas: [{ kind: "tattoo", polygon: square }], answers })).done);
  assert.match(reasonOf(await release(job, { scope: "teaching" })), /^IMG_2: Nobody has confirmed/);
  assert.ok((await confirm(job, second)).done);
  const outcome = await release(job, { scope: "teaching" });
  assert.ok(outcome.done, JSON.stringify(outcome));
  const { mark, folder, receipt, id } = outcome.value;
  const files = await treeOf(join(job.released, folder));
  const { data } = await sharp(files.get(`${mark}-001.jpg`))
    .raw()
    .toBuffer({ resolveWithObject: true });
  const at = (x: number, y: number) => [...data.subarray(3 * (240 * y + x), 3 * (240 * y + x) + 3)];
  assert.ok(Math.max(...at(60, 80)) < 12, "covered");
  assert.ok(Math.min(...at(200, 20)) > 90, "seen");
  const meta = await sharp(files.get(`${mark}-001.jpg`)).metadata();
  assert.deepEqual([meta.exif, meta.xmp, meta.iptc], [undefined, undefined, undefined]);
  assert.ok(meta.icc);
  const everything = Buffer.concat([...files.values(), Buffer.from([...files.keys()].join("\n"))]).toString(
    "latin1",
  );
  const rows = await job.desk.library.read.selectFrom("file").select(["sha256", "frame_id"]).execute();
  const consents = await job.desk.library.read.selectFrom("consent").select("id").execute();
  const masks = await job.desk.library.read.selectFrom("mask").select("sha256").execute();
  const leading = [
    job.patientId,
    job.requestId,
    "HN10001",
    "Patient HN",
    "R-1",
    "IMG_",
    "Invented",
    ...rows.flatMap((row) => [row.sha256, row.frame_id!]),
    ...consents.map((row) => row.id),
    ...masks.map((row) => row.sha256),
  ];
  assert.deepEqual(
    leading.filter((text) => everything.includes(text)),
    [],
  );
  // What the department can tell: the same identifiers, hashed together with the release's.
  assert.deepEqual(
    receipt.consents,
    consents.map((row) => sha256Of(Buffer.from(`${id} ${row.id}`))),
  );
  assert.equal(receipt.masks.length, 2);
});

/** Bars after ISO/IEC 16388: three of nine elements are wide; from memory, read back by the code reader here. */
const BARS: Readonly<Record<string, string>> = {
  "*": "nwnnwnwnn",
  "1": "wnnwnnnnw",
  "2": "nnwwnnnnw",
  "3": "wnwwnnnnn",
  "4": "nnnwwnnnw",
  "5": "wnnwwnnnn",
};

function code39(text: string): string {
  let x = 40;
  const bars: string[] = [];
  for (const letter of `*${text}*`) {
    for (const [i, element] of [...BARS[letter]!].entries()) {
      const width = element === "w" ? 8 : 3;
      if (i % 2 === 0) bars.push(`<rect x="${x}" y="20" width="${width}" height="80"/>`);
      x += width;
    }
    x += 3;
  }
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${x + 40}" height="120"><rect width="100%" height="100%" fill="#fff"/>${bars.join("")}</svg>`;
}

test("a code that can still be read after masking stops a de-identified release", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "teaching");
  const label = Buffer.from(code39("12345"));
  const labelled = await sharp({ create: { width: 640, height: 360, channels: 3, background: "#b8806a" } })
    .composite([{ input: label, left: 60, top: 60 }])
    .jpeg({ quality: 95 })
    .toBuffer();
  const frameId = job.frames[0]!;
  const { sha256 } = await job.desk.library.read
    .selectFrom("file")
    .select("sha256")
    .where("frame_id", "=", frameId)
    .executeTakeFirstOrThrow();
  await job.desk.library.write("x", async ({ update }) => {
    await update("file", sha256, { frame_id: null });
    return { value: null, deed: { act: "test.file", subject: "file/x" } };
  });
  await keepPicture(job.desk, frameId, labelled, "IMG_1.JPG");
  assert.ok((await confirm(job, frameId)).done, "a person overlooks it");
  assert.match(reasonOf(await release(job, { scope: "teaching" })), /A code can still be read/);
  assert.deepEqual([...(await treeOf(job.released)).keys()], []);
  const { proposals } = (await proposalsOf(job, frameId))!;
  assert.deepEqual(
    proposals.areas.filter(({ from }) => from === "code-reader").map(({ kind }) => kind),
    ["label"],
  );
  const proposed = proposals.areas.map(
    ({ from }) => (from === "code-reader" ? "cover" : "leave") as "cover" | "leave",
  );
  assert.ok((await confirm(job, frameId, { proposed, answers: { ...NOTHING_THERE, label: "masked" } })).done);
  const masked = await release(job, { scope: "teaching" });
  assert.ok(masked.done, JSON.stringify(masked));
});

async function proposalsOf(job: Awaited<ReturnType<typeof photographed>>, frameId: string) {
  const seen = await proposeMask(job.desk, MARA, job.pool, frameId);
  return seen.done ? seen.value : null;
}

test("a camera file that changed after its masks were confirmed needs a new look", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "teaching");
  const frameId = job.frames[0]!;
  assert.ok((await confirm(job, frameId)).done);
  const { sha256 } = await job.desk.library.read
    .selectFrom("file")
    .select("sha256")
    .where("frame_id", "=", frameId)
    .executeTakeFirstOrThrow();
  await job.desk.library.write("x", async ({ update }) => {
    await update("file", sha256, { frame_id: null });
    return { value: null, deed: { act: "test.file", subject: "file/x" } };
  });
  await keepPicture(job.desk, frameId, await photograph(77), "IMG_1.JPG");
  assert.match(reasonOf(await release(job, { scope: "teaching" })), /Nobody has confirmed/);
});

test("a withdrawal, a moved frame or a new mask between making and writing: nothing leaves", async (t) => {
  const job = await photographed(t);
  const { id: consentId } = await allow(job, "requester");
  const during = (work: () => Promise<unknown>): ReleaseForm => ({
    name: "pictures",
    scopes: CONSENT_SCOPES,
    async *files(context) {
      for (const frame of context.frames)
        yield {
          name: `${frame.name}.jpg`,
          bytes: (await frame.picture()).jpeg,
          frameId: frame.frameId,
          original: frame.original,
        };
      await work();
    },
  });
  const move = (to: string | null) =>
    job.desk.library.write("x", async ({ update }) => {
      await update("frame", job.frames[0]!, { request_id: to });
      return { value: null, deed: { act: "test.move", subject: "frame/x" } };
    });
  assert.match(
    reasonOf(
      await release(
        job,
        {},
        during(() => move(null)),
      ),
    ),
    /This is no picture of the request/,
  );
  await move(job.requestId);
  const before = await release(
    job,
    {},
    during(async () => {}),
  );
  assert.ok(before.done);
  const outcome = await release(
    job,
    {},
    during(() => withdrawConsent(job.desk, MARA, { consentId, by: "the patient" })),
  );
  assert.match(reasonOf(outcome), /withdrawn on 2026-03-15/);
  assert.deepEqual(
    new Set([...(await treeOf(job.released)).keys()].map((path) => path.split("/")[0])),
    new Set([before.value.folder]),
  );
});

test("consent that ends between the two transactions: on record, taken back, nothing has its name", async (t) => {
  const job = await photographed(t);
  await allow(job, "requester", { until: "2026-03-15" });
  const { library } = job.desk;
  let writes = 0;
  const passing = {
    ...job.desk,
    library: {
      ...library,
      write: async (...args: Parameters<typeof library.write>) => {
        const done = await library.write(...(args as [string, never]));
        if (++writes === 1) job.set("2026-03-16T00:00:01.000Z");
        return done;
      },
    },
  } as typeof job.desk;
  const outcome = await release({ ...job, desk: passing });
  assert.match(reasonOf(outcome), /ended with 2026-03-15/);
  assert.deepEqual(await logOf(job), ["release.out", "release.take-back"]);
  assert.deepEqual([...(await treeOf(job.released)).keys()], []);
  const [known] = await releasesOf(job.desk, MARA);
  assert.equal(known?.state, "taken-back");
});

test("names: nothing is replaced, nothing goes through a link, nothing leaves its folder", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  for (const folder of ["../out", "/etc", "a/b", "..", ".waiting", "con", "x\u0000", "", "a ".repeat(100)]) {
    assert.match(reasonOf(await release(job, { folder })), /The folder's name/, JSON.stringify(folder));
  }
  const named = (name: string): ReleaseForm => ({
    name: "test",
    scopes: CONSENT_SCOPES,
    async *files({ frames }) {
      yield { name, bytes: Buffer.from("x"), frameId: frames[0]!.frameId, original: null };
    },
  });
  for (const name of [
    "../x",
    "/x",
    "a/../../x",
    "a//x",
    "a\\x",
    ".x",
    "x.",
    "nul.txt",
    "a\nb",
    "=1+1.csv",
    "<b>.html",
    "\u202egpj.exe",
  ]) {
    await assert.rejects(release(job, {}, named(name)), { code: "RELEASE_NAME" }, name);
  }
  assert.ok((await release(job, { folder: "reports" }, named("a/one.txt"))).done);
  assert.match(reasonOf(await release(job, { folder: "reports" }, named("a/one.txt"))), /already/);
  // Somebody else's file of that name, which no release knows of.
  await writeFile(join(job.released, "reports", "two.txt"), "mine");
  await assert.rejects(release(job, { folder: "reports" }, named("two.txt")), { code: "RELEASE_EXISTS" });
  const elsewhere = join(job.folder, "elsewhere");
  await mkdir(elsewhere);
  await symlink(elsewhere, join(job.released, "linked"));
  await assert.rejects(release(job, { folder: "linked" }, named("one.txt")), { code: "RELEASED_FOLDER" });
  await symlink(elsewhere, join(job.released, "reports", "inner"));
  await assert.rejects(release(job, { folder: "reports" }, named("inner/one.txt")), {
    code: "RELEASED_FOLDER",
  });
  assert.deepEqual([...(await treeOf(elsewhere)).keys()], []);
  assert.equal((await treeOf(join(job.released, "reports"))).get("two.txt")?.toString(), "mine");
  const states = (await releasesOf(job.desk, MARA)).map(({ state }) => state).sort();
  assert.deepEqual(states, ["out", "taken-back", "taken-back", "taken-back"]);
  assert.deepEqual(await faultsOf(job.desk), []);
});

test("several releases into one folder at once: each is whole, each has its receipt, the log knows them all", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  const outcomes = await Promise.all(
    [1, 2, 3, 4].map((n) => release(job, { folder: "together", to: `Dr ${n}` })),
  );
  assert.ok(
    outcomes.every(({ done }) => done),
    JSON.stringify(outcomes),
  );
  const check = await checkReleased(join(job.released, "together"), job.desk);
  assert.deepEqual([check.releases.length, check.files, check.faults], [4, 4, []]);
});

test("what went out from a frame: also the documents that show it", async (t) => {
  const job = await photographed(t, 2);
  await allow(job, "requester");
  const rows = await job.desk.library.read.selectFrom("file").select(["sha256", "frame_id"]).execute();
  const originals = job.frames.map((id) => rows.find((row) => row.frame_id === id)!.sha256);
  const report = reportForm({ bytes: Buffer.from("%PDF-"), fileName: "R-1.pdf", originals });
  assert.ok((await release(job, { folder: "reports" }, report)).done);
  assert.ok((await release(job, { frames: [job.frames[0]!] })).done);
  const of = async (frameId: string) =>
    (await releasesOf(job.desk, MARA, { frameId })).map(({ form }) => form).sort();
  assert.deepEqual(await of(job.frames[0]!), ["pictures", "report"]);
  assert.deepEqual(await of(job.frames[1]!), ["report"]);
  assert.deepEqual(await releasesOf(job.desk, { name: "v", role: "administrator" }), []);
  assert.match(reasonOf(await release(job, { scope: "teaching" }, report)), /No consent/);
  await assert.rejects(
    release(job, { frames: [job.frames[1]!], folder: "more" }, report),
    /not released with it/,
  );
});

test("the earliest day counts: a release ends with the consent that it rests on", async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester", { until: "2026-05-01" });
  const outcome = await release(job, { expiresOn: "2026-12-31" });
  assert.equal(outcome.done && outcome.value.receipt.expiresOn, "2026-05-01");
  assert.match(reasonOf(await release(job, { expiresOn: "2026-03-14" })), /from today on/);
});

test("a folder that cannot be written to is said, and nothing is on record", {
  skip: process.getuid?.() === 0 && "root may write everywhere",
}, async (t) => {
  const job = await photographed(t, 1);
  await allow(job, "requester");
  await mkdir(job.released, { mode: 0o500 });
  await assert.rejects(release(job), { code: "FILE_NOT_PERMITTED" });
  await chmod(job.released, 0o700);
  assert.deepEqual(await logOf(job), []);
});

test("what is wanted can be wrong in every field", async (t) => {
  const job = await photographed(t, 1);
  const fields = wantedOf(job);
  assert.equal(fields.scope, "requester");
  assert.match(reasonOf(await release(job, { frames: [] })), /Name the frames/);
  assert.match(reasonOf(await release(job, { frames: [job.frames[0]!, job.frames[0]!] })), /named twice/);
  assert.match(reasonOf(await release(job, { scope: "publication-print" })), /Say which publication/);
  assert.match(reasonOf(await release(job, { scope: "research" })), /Say which research project/);
  assert.match(
    reasonOf(await release(job, { scope: "research", project: "Nobody's" })),
    /There is no research project/,
  );
  assert.match(reasonOf(await release(job, { project: "x" })), /Only a release for research/);
});
