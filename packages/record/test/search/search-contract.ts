import assert from "node:assert/strict";
import { test } from "node:test";
import type { Found, Library, SearchWanted, Seen } from "../../src/index.ts";

export interface SearchUnderTest {
  readonly library: Library;
  close(): Promise<void>;
}

const ALL: Seen = {
  patient: (is) => is.lit(true),
  request: (is) => is.lit(true),
  frame: (is) => is.lit(true),
  among: null,
};

const wanted = (more: Partial<SearchWanted>): SearchWanted => ({
  kind: "frame",
  text: "",
  facets: {},
  from: null,
  until: null,
  after: null,
  limit: 50,
  seen: ALL,
  ...more,
});

const TIME = "2026-03-15T09:00:00.000Z";

/** What every engine's search must do; the same words find the same rows in each. */
export function searchContract(engine: string, open: () => Promise<SearchUnderTest>): void {
  const contract = (title: string, body: (library: Library) => Promise<void>) =>
    test(`search in ${engine}: ${title}`, async () => {
      const under = await open();
      try {
        await fill(under.library);
        await body(under.library);
      } finally {
        await under.close();
      }
    });
  const idsOf = async (library: Library, more: Partial<SearchWanted>) =>
    (await library.search.find(wanted(more))).ids;

  contract(
    "words find by name, number, part, requester, place and file name, newest first",
    async (library) => {
      const find = (text: string) => idsOf(library, { text });
      assert.deepEqual(await find(""), ["f3", "f2", "f1"]);
      assert.deepEqual(await find("cafe"), ["f2", "f1"]);
      assert.deepEqual(await find("CAFÉ leg"), ["f2", "f1"]);
      assert.deepEqual(await find("caf le"), ["f2", "f1"]);
      assert.deepEqual(await find("leg hand"), []);
      assert.deepEqual(await find("9434765919"), ["f2", "f1"]);
      assert.deepEqual(await find("943 476 5919"), ["f2", "f1"]);
      assert.deepEqual(await find("dsc_0002.jpg"), ["f2"]);
      assert.deepEqual(await find("DSC0002"), ["f2"]);
      assert.deepEqual(await find("2026-03-14"), ["f1"]);
      assert.deepEqual(await find("cafe 2026-03"), ["f2", "f1"]);
      assert.deepEqual(await idsOf(library, { kind: "patient", text: "1958-11-02" }), ["p1"]);
      assert.deepEqual(await idsOf(library, { kind: "patient", text: "1958-11" }), ["p1"]);
      assert.deepEqual(await idsOf(library, { kind: "request", text: "okonkwo burns" }), ["r1"]);
    },
  );

  contract("facets narrow, ranges of days as well, and the counts are of what fits", async (library) => {
    assert.deepEqual(await idsOf(library, { facets: { side: ["left"] } }), ["f2", "f1"]);
    assert.deepEqual(await idsOf(library, { facets: { placed: ["unplaced"] } }), ["f3"]);
    assert.deepEqual(await idsOf(library, { facets: { verdict: ["keep"], part: ["Lower LEG"] } }), ["f1"]);
    assert.deepEqual(await idsOf(library, { facets: { verdict: ["keep", "repeat"] } }), ["f1"]);
    assert.deepEqual(await idsOf(library, { facets: { part: ["leg"] } }), []);
    assert.deepEqual(await idsOf(library, { from: "2026-03-15", until: "2026-03-15" }), ["f3", "f2"]);
    const { counted } = await library.search.find(wanted({ text: "cafe" }));
    assert.equal(counted?.matches, 2);
    assert.equal(counted?.more, false);
    assert.deepEqual(counted?.facets.side, { left: 2 });
    assert.deepEqual(counted?.facets.verdict, { keep: 1 });
    assert.deepEqual(counted?.facets.checked, { checked: 1, "not-checked": 1 });
    assert.deepEqual(counted?.facets.scale, { "not-looked": 2 });
    assert.deepEqual(counted?.facets.measured, { "not-measured": 2 });
    assert.equal(counted?.facets.for, undefined);
  });

  contract("pages follow each other by key and neither lose nor repeat a row", async (library) => {
    const seen: string[] = [];
    let page: Found | null = null;
    do {
      page = await library.search.find(wanted({ limit: 1, after: page?.next ?? null }));
      seen.push(...page.ids);
    } while (page.next !== null);
    assert.deepEqual(seen, ["f3", "f2", "f1"]);
    await assert.rejects(library.search.find(wanted({ after: "1 or 1=1" })), { code: "SEARCH_CURSOR" });
  });

  contract("a change of a name, a verdict or a place is found in the same moment", async (library) => {
    await library.write("photographer:mara", async (writing) => {
      await writing.update("patient", "p1", { name: "Zoë Quill" });
      await writing.update("frame", "f3", { request_id: "r1" });
      return { value: null, deed: { act: "test.change", subject: "patient/p1" } };
    });
    assert.deepEqual(await idsOf(library, { text: "cafe" }), []);
    assert.deepEqual(await idsOf(library, { text: "zoe" }), ["f3", "f2", "f1"]);
    assert.deepEqual(await idsOf(library, { kind: "patient", text: "zoe" }), ["p1"]);
    await library.write("photographer:mara", async (writing) => {
      await writing.update("frame", "f2", { trashed_at: TIME, trashed_because: "blurred" });
      return { value: null, deed: { act: "frame.trash", subject: "frame/f2" } };
    });
    assert.deepEqual(await idsOf(library, { text: "zoe" }), ["f3", "f1"]);
    assert.deepEqual(await idsOf(library, { kind: "trash" }), ["f2"]);
  });

  contract("an act that fails leaves the index as it was", async (library) => {
    const failing = library.write("photographer:mara", async (writing) => {
      await writing.update("patient", "p1", { name: "Nobody" });
      throw new Error("stop");
    });
    await assert.rejects(failing, /stop/);
    assert.deepEqual(await idsOf(library, { text: "nobody" }), []);
    assert.equal(await library.search.isUpToDate(), true);
  });

  contract("what may not be seen is in no list, count or facet", async (library) => {
    const notR1: Seen = {
      patient: (is) => is("patient.id", "=", "p2"),
      request: (is) => is("request.id", "!=", "r1"),
      frame: (is) => is.or([is("frame.request_id", "is", null), is("frame.request_id", "!=", "r1")]),
      among: null,
    };
    const found = await library.search.find(wanted({ seen: notR1 }));
    assert.deepEqual(found.ids, ["f3"]);
    assert.equal(found.counted?.matches, 1);
    assert.equal(JSON.stringify(found).includes("keep"), false);
    assert.deepEqual(await idsOf(library, { kind: "patient", seen: notR1 }), ["p2"]);
    assert.deepEqual(await idsOf(library, { kind: "request", text: "leg", seen: notR1 }), []);
    const among = { ...ALL, among: { for: ["kai"], request: ["r2"] } };
    assert.deepEqual(await idsOf(library, { kind: "request", seen: among }), ["r2", "r1"]);
    assert.deepEqual(await idsOf(library, { kind: "request", seen: { ...ALL, among: { for: ["x"] } } }), []);
  });

  contract("no text breaks out of the query", async (library) => {
    const before = await library.read.selectFrom("frame").selectAll().execute();
    for (const text of [
      `"`,
      `'`,
      `leg" OR "hand`,
      `leg') or 1=1 --`,
      `'; drop table frame; --`,
      "NOT leg",
      "leg NEAR hand",
      "words:leg",
      "{words}: leg",
      "^leg",
      "leg*",
      "- leg",
      "leg & !hand",
      "leg:*",
      "\\",
      "\u0000leg",
      "\u202egel",
      "((((",
      "%",
      "_",
      "\uE000kind\uE001trash",
      "\ud800",
      "x".repeat(100_000),
      "a ".repeat(5000),
    ]) {
      const { ids } = await library.search.find(wanted({ text, facets: { part: [text] } }));
      assert.deepEqual(ids, [], JSON.stringify(text.slice(0, 40)));
      await library.search.find(wanted({ text }));
    }
    assert.deepEqual(await idsOf(library, { text: `leg" OR "hand` }), []);
    assert.deepEqual(await library.read.selectFrom("frame").selectAll().execute(), before);
  });

  contract("an index made again finds the same, and one that is behind says so", async (library) => {
    const before = await library.search.find(wanted({ text: "cafe" }));
    await library.search.catchUp({ again: true });
    assert.deepEqual(await library.search.find(wanted({ text: "cafe" })), before);
    await library.search.catchUp();
    assert.deepEqual(await library.search.find(wanted({ text: "cafe" })), before);
  });
}

async function fill(library: Library): Promise<void> {
  const patient = { authority: "H", details: "{}", made_at: TIME };
  const request = { kind: "clinical", due_date: null, state: "open", made_at: TIME } as const;
  const leg = {
    title: "Burn",
    parts: [{ part: "lower leg", side: "left", marks: [] }],
    requester: { name: "Dr Okonkwo" },
    place: "Burns clinic",
  };
  const frame = {
    intake_id: "i1",
    folder: "DCIM/100CLINI",
    kind: "picture",
    taken_raw: null,
    taken_camera: null,
    clock: "plausible",
    codes: null,
    visit_id: null,
    placed_by: null,
    placing: "",
    flags: "[]",
  } as const;
  await library.write("photographer:mara", async ({ insert }) => {
    await insert("patient", {
      ...patient,
      id: "p1",
      number: "943 476 5919",
      name: "Ada Café",
      birth_date: "1958-11-02",
    });
    await insert("patient", { ...patient, id: "p2", number: "HN20002", name: "Ben Hand", birth_date: null });
    await insert("request", {
      ...request,
      id: "r1",
      code: "R-1",
      patient_id: "p1",
      details: JSON.stringify(leg),
      requester_id: "kai",
    });
    await insert("request", { ...request, id: "r2", code: "R-2", patient_id: "p2", details: "[1, broken" });
    await insert("intake", {
      id: "i1",
      card_path: "card",
      begun_at: TIME,
      finished_at: null,
      abandoned_because: null,
      clock_offset_s: null,
      clock_because: null,
      clock_by: null,
    });
    await insert("frame", {
      ...frame,
      id: "f1",
      name: "DSC_0001",
      position: 1,
      request_id: "r1",
      taken_at: "2026-03-14T10:00:00",
    });
    await insert("frame", {
      ...frame,
      id: "f2",
      name: "DSC_0002",
      position: 2,
      request_id: "r1",
      taken_at: "2026-03-15T10:00:00",
    });
    await insert("frame", {
      ...frame,
      id: "f3",
      name: "DSC_0003",
      position: 3,
      request_id: null,
      taken_at: "2026-03-15T10:00:00",
    });
    await insert("file", {
      sha256: "aa",
      bytes: 1,
      format: "jpeg",
      name: "DSC_0002.JPG",
      frame_id: "f2",
      info: null,
      stored_at: TIME,
    });
    await insert("verdict", {
      id: "v1",
      frame_id: "f1",
      request_id: null,
      recipe: "{}",
      inputs: "[]",
      body: JSON.stringify({ verdict: "keep", view: "front", viewName: "Front" }),
      sha256: "bb",
      made_at: TIME,
    });
    return { value: null, deed: { act: "test.fill", subject: "test" } };
  });
}
