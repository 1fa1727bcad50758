import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { before, type TestContext, test } from "node:test";
import { createPicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import { cardPage } from "../../src/card/card-of-request.ts";
import { makeCard } from "../../src/card/make-card.ts";
import {
  addPatient,
  addRequest,
  doneOrThrow,
  logLines,
  planRequest,
  practiceFolderFor,
  readPracticeFolder,
} from "../../src/index.ts";
import { freshDesk, MARA, temporaryFolder } from "../support.ts";
import { asPhotographed, type Corners } from "./as-photographed.ts";

const isMissing = (program: string) => spawnSync(program, ["-h"]).error !== undefined;
const skip = isMissing("pdftoppm")
  ? "pdftoppm is not on this machine (Debian package poppler-utils)"
  : isMissing("zbarimg")
    ? "zbarimg is not on this machine (Debian package zbar-tools)"
    : false;
let practice: Practice;
before(async () => {
  practice = await readPracticeFolder(await practiceFolderFor(undefined, null));
});

async function deskWithRequest(t: TestContext, { isPlanned = true } = {}) {
  const desk = await freshDesk(t);
  const patient = await addPatient(desk, MARA, {
    number: "FI204417",
    authority: "Invented",
    name: "Ada Example",
    birthDate: null,
  });
  const { id: requestId } = doneOrThrow(
    await addRequest(desk, MARA, { code: "R-17", patientId: doneOrThrow(patient).id, kind: "clinical" }),
  );
  const wanted = { requestId, viewSetKey: "wound", wishes: { side: "left" } } as const;
  if (isPlanned) doneOrThrow(await planRequest(desk, MARA, wanted, practice));
  return desk;
}

test("a card is written as paper and as page, and its making is on record without the name", async (t) => {
  const desk = await deskWithRequest(t);
  const folder = await temporaryFolder(t);
  const [pdf, page] = [join(folder, "card.pdf"), join(folder, "card.html")];
  doneOrThrow(await makeCard(desk, MARA, { requestCode: "R-17", pdf, page, replace: false }, practice));
  assert.equal(readFileSync(pdf).subarray(0, 5).toString(), "%PDF-");
  assert.match(readFileSync(page, "utf8"), /<h1>R-17<\/h1>/);
  assert.ok(!readFileSync(page, "utf8").includes("Ada Example"));
  assert.deepEqual(readdirSync(folder).toSorted(), ["card.html", "card.pdf"]);
  const log: string[] = [];
  for await (const line of logLines(desk)) log.push(line);
  const made = log.filter((line) => line.includes('"card.make"'));
  assert.equal(made.length, 1);
  assert.ok(!made[0]!.includes("Ada"));
});

test("a file that is there stays as it is, and nothing is put on record", async (t) => {
  const desk = await deskWithRequest(t);
  const pdf = join(await temporaryFolder(t), "card.pdf");
  writeFileSync(pdf, "mine");
  const wanted = { requestCode: "R-17", pdf, replace: false };
  await assert.rejects(makeCard(desk, MARA, wanted, practice), { code: "OUTPUT_EXISTS" });
  assert.equal(readFileSync(pdf, "utf8"), "mine");
  for await (const line of logLines(desk)) assert.ok(!line.includes("card.make"));
  doneOrThrow(await makeCard(desk, MARA, { ...wanted, replace: true }, practice));
  assert.notEqual(readFileSync(pdf, "utf8"), "mine");
});

test("an unknown request, one without a plan, a viewer and a folder that is not there are refused in words", async (t) => {
  const desk = await deskWithRequest(t, { isPlanned: false });
  const pdf = join(await temporaryFolder(t), "card.pdf");
  const wanted = { requestCode: "R-17", pdf, replace: false };
  await assert.rejects(makeCard(desk, MARA, { ...wanted, requestCode: "R-99" }, practice), {
    code: "REQUEST_UNKNOWN",
  });
  await assert.rejects(makeCard(desk, MARA, wanted, practice), { code: "REQUEST_WITHOUT_PLAN" });
  const planned = await deskWithRequest(t);
  const refused = await makeCard(planned, { name: "vi", role: "viewer" }, wanted, practice);
  assert.equal(refused.done, false);
  assert.ok(!existsSync(pdf) && readdirSync(join(pdf, "..")).length === 0, "something was left behind");
  const nowhere = join(pdf, "..", "not", "there.pdf");
  await assert.rejects(makeCard(planned, MARA, { ...wanted, pdf: nowhere }, practice), {
    code: "FILE_MISSING",
  });
});

test("the page alone is shown without being put on record", async (t) => {
  const desk = await deskWithRequest(t);
  assert.match((await cardPage(desk, MARA, "R-17", practice)).html, /1 of|<h1>R-17/);
  for await (const line of logLines(desk)) assert.ok(!line.includes("card.make"));
});

/** The page in the photograph; leaning about 25° to the side, and turned by about 100° besides. */
const LEANING: Corners = [
  [0.3, 0.05],
  [0.68, 0.11],
  [0.72, 0.92],
  [0.22, 0.97],
];
const TURNED: Corners = [
  [0.82, 0.14],
  [0.9, 0.84],
  [0.12, 0.93],
  [0.1, 0.08],
];

test("a photograph of the card is the label frame: read by a general reader and by ours", {
  skip,
}, async (t) => {
  const desk = await deskWithRequest(t);
  const folder = await temporaryFolder(t);
  const pdf = join(folder, "card.pdf");
  doneOrThrow(await makeCard(desk, MARA, { requestCode: "R-17", pdf, replace: false }, practice));
  execFileSync("pdftoppm", [
    "-r",
    "150",
    "-l",
    "1",
    "-singlefile",
    "-gray",
    "-png",
    pdf,
    join(folder, "card"),
  ]);
  const files = [join(folder, "card.png")];
  for (const [name, corners] of [
    ["leaning", LEANING],
    ["turned", TURNED],
  ] as const) {
    files.push(join(folder, `${name}.jpg`));
    writeFileSync(files.at(-1)!, await asPhotographed(files[0]!, corners));
  }
  const pool = createPicturePool(1);
  t.after(() => pool.close());
  for (const file of files) {
    const general = execFileSync("zbarimg", ["--nodbus", "--quiet", "--raw", file], { encoding: "utf8" });
    assert.equal(general.trim(), "SR1:R-17:FI204417", file);
    const { codes } = await pool.run("label", { file });
    assert.deepEqual(
      codes.map(({ format, text }) => [format, text]),
      [["qr", "SR1:R-17:FI204417"]],
      file,
    );
  }
});
