import assert from "node:assert/strict";
import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type TestContext, test } from "node:test";
import type { Practice } from "@samescale/practice";
import {
  addPatient,
  closeRequest,
  type Desk,
  doneOrThrow,
  listRequests,
  type OrderLine,
  readPracticeFolder,
  requestAsked,
  takeOrders,
} from "../../src/index.ts";
import { faultsOf, freshDesk, MARA, temporaryFolder } from "../support.ts";

const STARTING = new URL("../../../practice/starting", import.meta.url).pathname;
const PRACTICE: Practice = {
  ...(await readPracticeFolder(STARTING)),
  authorities: [{ name: "Fernhill Infirmary", also: ["FERNHILL", "urn:fernhill"] }],
};

interface Said {
  readonly control?: string;
  readonly number?: string;
  readonly name?: string;
  readonly born?: string;
  readonly title?: string;
  readonly value?: string;
}

function hl7({
  control = "NW",
  number = "HN10001",
  name = "Novak^Jana",
  born = "19580402",
  title = "Wound",
  value = "PL-1",
}: Said = {}) {
  return [
    "MSH|^~\\&|WARDS|FERNHILL|||20260314||OMG^O19|1|P|2.5.1",
    `PID|1||${number}^^^FERNHILL^MR||${name}||${born}`,
    `ORC|${control}|${value}^WARDS`,
    `OBR|1|${value}^WARDS||X^${title}^L`,
  ].join("\r");
}

async function taking(t: TestContext) {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  let files = 0;
  const take = async (text: string | Uint8Array): Promise<OrderLine[]> => {
    const file = join(folder, `order-${++files}.hl7`);
    await writeFile(file, text);
    const lines: OrderLine[] = [];
    for await (const line of takeOrders(desk, MARA, [file], PRACTICE)) lines.push(line);
    return lines;
  };
  return { desk, take, one: async (said?: Said) => stateOf((await take(hl7(said)))[0]) };
}

const stateOf = (line: OrderLine | undefined): string => {
  if (!line) return "nothing";
  if ("error" in line) return line.error.code;
  return line.state === "refused" ? line.reason : line.state;
};

const entriesOf = async (desk: Desk) =>
  (await desk.library.read.selectFrom("act").select("act").orderBy("sequence").execute()).map(
    ({ act }) => act,
  );

test("an order becomes a request once; the same again changes nothing, a changed one changes it, a call-off cancels it", async (t) => {
  const { desk, one } = await taking(t);
  assert.equal(await one(), "added");
  const before = (await entriesOf(desk)).length;
  assert.equal(await one(), "the-same");
  assert.equal((await entriesOf(desk)).length, before, "no act for nothing");
  assert.equal(await one({ control: "XO", title: "Wound, both sides" }), "changed");
  const [request] = await listRequests(desk, MARA, "open");
  assert.equal(request?.title, "Wound, both sides");
  assert.equal(request?.patient?.authority, "Fernhill Infirmary", "as the practice calls it");
  assert.equal((await requestAsked(desk, MARA, request?.code ?? ""))?.external, "WARDS|PL-1");
  const { details } = await desk.library.read
    .selectFrom("patient")
    .select("details")
    .executeTakeFirstOrThrow();
  assert.deepEqual(
    JSON.parse(details),
    { familyName: "Novak", givenName: "Jana" },
    "DICOM and FHIR ask for both",
  );
  assert.equal(await one({ control: "CA" }), "called-off");
  assert.equal(await one({ control: "CA" }), "called-off");
  assert.deepEqual(await listRequests(desk, MARA, "open"), []);
  assert.match(await one({ title: "Wound again" }), /its request .* is cancelled/);
  assert.deepEqual((await entriesOf(desk)).slice(1), [
    "request.take-order",
    "request.change",
    "request.cancel",
  ]);
  assert.deepEqual(await faultsOf(desk), []);
});

test("two identifiers agree or a person decides: never the number alone", async (t) => {
  // Common practice, no source: match on at least two identifiers (trade-facts 6.6).
  const { desk, one } = await taking(t);
  assert.equal(await one(), "added");
  const patients = async () => (await desk.library.read.selectFrom("patient").select("id").execute()).length;
  assert.match(
    await one({ value: "PL-2", born: "19580403" }),
    /another date of birth: two identifiers do not agree/,
  );
  assert.equal(
    await one({ value: "PL-3", name: "NOV\u00c1K^JANA" }),
    "added",
    "accents and case are no other name",
  );
  assert.equal(
    await one({ value: "PL-4", name: "Svoboda^Jana" }),
    "added",
    "the same day of birth, a new name",
  );
  const married = (await listRequests(desk, MARA, "open")).map(({ code }) => code);
  const notes = await Promise.all(
    married.map(async (code) => (await requestAsked(desk, MARA, code))?.details.notes),
  );
  assert.deepEqual(notes.flat(), ["The order gives the name Jana Svoboda"]);
  assert.match(await one({ value: "PL-5", name: "Svoboda^Jana", born: "" }), /no date of birth tells/);
  assert.match(
    await one({ value: "PL-1", number: "HN20002", name: "Other^One" }),
    /names another patient than before/,
  );
  assert.equal(await patients(), 1);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a patient who was added by hand is the order's patient under the practice's name of the authority", async (t) => {
  const { desk, one } = await taking(t);
  const patient = {
    number: "HN10001",
    authority: "Fernhill Infirmary",
    name: "Jana Novak",
    birthDate: "1958-04-02",
  };
  doneOrThrow(await addPatient(desk, MARA, patient));
  assert.equal(await one(), "added");
  assert.equal((await desk.library.read.selectFrom("patient").select("id").execute()).length, 1);
});

test("a call-off of what was made already, or of what nobody knows, is left to a person", async (t) => {
  const { desk, one } = await taking(t);
  assert.match(await one({ control: "CA" }), /nothing is known of it here/);
  assert.equal(await one(), "added");
  const { id } = (await listRequests(desk, MARA, "open"))[0] ?? { id: "" };
  doneOrThrow(await closeRequest(desk, MARA, { requestId: id, because: "all views made" }));
  assert.match(await one({ control: "CA" }), /its pictures were made already/);
});

test("files that cannot be read are lines with what to do; the others are still taken", async (t) => {
  const { desk, take } = await taking(t);
  assert.equal(stateOf((await take("hello"))[0]), "ORDER_FILE_UNREADABLE");
  assert.equal(stateOf((await take(new Uint8Array([0xff, 0xfe, 0])))[0]), "ORDER_FILE_UNREADABLE");
  const lines: OrderLine[] = [];
  for await (const line of takeOrders(desk, MARA, ["/nowhere/x.hl7", "/"], PRACTICE)) lines.push(line);
  assert.deepEqual(
    lines.map((line) => "error" in line),
    [true, true],
  );
  const hostile = hl7({
    title: `=cmd|x \u202e${"y".repeat(500)}`,
    name: "O'Brien\";drop table patient;--^X",
  });
  assert.equal(stateOf((await take(hostile))[0]), "added");
  const [request] = await listRequests(desk, MARA, "open");
  assert.ok((request?.title.length ?? 0) <= 160 && !request?.title.includes("\u202e"));
});

test("only those who handle pictures take orders in", async (t) => {
  const desk = await freshDesk(t);
  const file = join(await temporaryFolder(t), "order.hl7");
  await writeFile(file, hl7());
  for await (const line of takeOrders(desk, { name: "x", role: "requester" }, [file], PRACTICE)) {
    assert.match(stateOf(line), /not for the role requester/);
  }
});
