import assert from "node:assert/strict";
import { test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { type Desk, departmentFigures } from "../../src/index.ts";
import { freshDesk, MARA } from "../support.ts";

interface Made {
  readonly id: string;
  readonly state: "open" | "done" | "cancelled";
  readonly madeAt: string;
  readonly viewSet: string | null;
  readonly visits: readonly { readonly date: string | null; readonly isVoid: boolean }[];
  readonly releases: readonly { readonly at: string | null; readonly isTakenBack: boolean }[];
  readonly frames: readonly { readonly isAside: boolean; readonly verdicts: readonly Said[] }[];
}
interface Said {
  readonly verdict: string;
  readonly findings: readonly { readonly what: string }[];
}

const CAUSES = ["ratio", "focus", "exposure"];
const day = (n: number) => new Date(Date.UTC(2025, 0, 1 + n)).toISOString().slice(0, 10);

function departmentOf(seed: number): Made[] {
  const random = seededRandom(seed);
  const whole = (below: number) => Math.floor(random() * below);
  const some = <T>(most: number, make: () => T) => Array.from({ length: whole(most + 1) }, make);
  return Array.from({ length: 60 }, (_, i) => {
    const asked = whole(200);
    return {
      id: `r${String(i).padStart(2, "0")}`,
      state: (["open", "done", "cancelled"] as const)[whole(3)]!,
      madeAt: `${day(asked)}T0${whole(10)}:30:00.000Z`,
      viewSet: random() < 0.8 ? ["wound", "face"][whole(2)]! : null,
      visits: some(2, () => ({
        date: random() < 0.9 ? day(asked + whole(20) - 3) : null,
        isVoid: random() < 0.2,
      })),
      releases: some(2, () => ({
        at: random() < 0.8 ? `${day(asked + whole(40))}T23:59:59.999Z` : null,
        isTakenBack: random() < 0.2,
      })),
      frames: some(4, () => ({
        isAside: random() < 0.1,
        verdicts: some(3, () => ({
          verdict: ["keep", "repeat", "your-choice", "not-judged"][whole(4)]!,
          findings: some(3, () => ({ what: CAUSES[whole(3)]! })),
        })),
      })),
    };
  });
}

async function write(desk: Desk, made: readonly Made[]): Promise<void> {
  await desk.library.write("test", async ({ insert }) => {
    await insert("intake", {
      ...{
        id: "i1",
        card_path: "c",
        begun_at: "2025-01-05T10:00:00.000Z",
        finished_at: null,
        abandoned_because: null,
      },
      ...{ clock_offset_s: null, clock_because: null, clock_by: null },
    });
    let n = 0;
    const next = () => String(++n).padStart(6, "0");
    const frame = (id: string, requestId: string | null, isAside: boolean) =>
      insert("frame", {
        ...{ id, intake_id: "i1", folder: "", name: id, position: n, kind: "picture", request_id: requestId },
        ...{ taken_raw: null, taken_camera: null, taken_at: null, clock: "none", codes: null },
        ...{ visit_id: null, placed_by: null, placing: "", flags: "[]", sensitive: null },
        ...(isAside ? { trashed_at: "2025-02-01T00:00:00.000Z", trashed_because: "x" } : {}),
      } as never);
    for (const request of made) {
      const { id } = request;
      await insert("request", {
        ...{ id, code: id, patient_id: null, kind: "non-clinical", due_date: null, state: request.state },
        ...{ sensitive: null, requester_id: null, access: null, details: "{}", made_at: request.madeAt },
      } as never);
      for (const [revision, set] of [request.viewSet && "old", request.viewSet].entries()) {
        if (set === null) continue;
        const body = JSON.stringify({ viewSet: { key: set, name: `The ${set}` } });
        await insert("plan", {
          id: next(),
          request_id: id,
          revision: revision + 1,
          format: "views/2",
          body,
          made_at: request.madeAt,
        });
      }
      for (const { date, isVoid } of request.visits)
        await insert("visit", {
          ...{
            id: next(),
            request_id: id,
            date,
            opened_by: "person",
            details: "{}",
            made_at: request.madeAt,
          },
          void_because: isVoid ? "x" : null,
        });
      for (const { at, isTakenBack } of request.releases)
        await insert("release", {
          ...{
            id: next(),
            request_id: id,
            patient_id: null,
            scope: "requester",
            recipient: "x",
            purpose: "x",
          },
          ...{
            publication: null,
            consents: "[]",
            form: "pictures",
            folder: "x",
            project_id: null,
            recipe: "{}",
          },
          ...{
            receipt: "{}",
            expires_on: null,
            released_by: "x",
            made_at: request.madeAt,
            handed_over_at: at,
          },
          ...{ taken_back_at: isTakenBack ? "2025-12-01T00:00:00.000Z" : null, taken_back_because: null },
          ...{ recall_because: null, recalled_at: null, recall_answer: null },
        });
      for (const { isAside, verdicts } of request.frames) {
        const frameId = next();
        await frame(frameId, id, isAside);
        for (const body of verdicts)
          await insert("verdict", {
            ...{ id: next(), frame_id: frameId, request_id: null, recipe: "{}", inputs: "[]" },
            ...{ body: JSON.stringify(body), sha256: next(), made_at: request.madeAt },
          });
      }
    }
    for (const isAside of [false, false, true]) await frame(next(), null, isAside);
    return { value: null, deed: { act: "test.made", subject: "test/1" } };
  });
}

/** Everything again, one request after the other, as a person would count on paper. */
function counted(made: readonly Made[], from: string, to: string) {
  const within = (at: string) => at.slice(0, 10) >= from && at.slice(0, 10) <= to;
  const requests = made.filter(({ madeAt }) => within(madeAt));
  const months: Record<string, { asked: number; visits: number; released: number }> = {};
  const month = (at: string) => (months[at.slice(0, 7)] ??= { asked: 0, visits: 0, released: 0 });
  for (const { madeAt } of requests) month(madeAt).asked++;
  for (const { visits, releases } of made) {
    for (const { date, isVoid } of visits) if (date && !isVoid && within(date)) month(date).visits++;
    for (const { at, isTakenBack } of releases) if (at && !isTakenBack && within(at)) month(at).released++;
  }
  const first = (days: readonly (string | null)[]) =>
    days
      .filter((d) => d !== null)
      .map((d) => d.slice(0, 10))
      .toSorted()[0] ?? null;
  const span = (a: string | null, b: string | null) =>
    a && b ? (Date.parse(b) - Date.parse(a)) / 86_400_000 : null;
  const spans = requests.map((one) => {
    const visited = first(one.visits.filter((v) => !v.isVoid).map((v) => v.date));
    const left = first(one.releases.filter((r) => !r.isTakenBack).map((r) => r.at));
    const asked = one.madeAt.slice(0, 10);
    return [span(asked, visited), span(visited, left), span(asked, left)];
  });
  const causes: Record<string, number> = {};
  const sets: Record<string, { requests: number; judged: number; repeats: number }> = {};
  let [judged, repeats] = [0, 0];
  for (const { frames, viewSet } of requests) {
    if (viewSet) sets[viewSet] ??= { requests: 0, judged: 0, repeats: 0 };
    const set = viewSet ? sets[viewSet] : undefined;
    if (set) set.requests++;
    for (const { isAside, verdicts } of frames) {
      const last = verdicts.at(-1);
      if (isAside || !last || last.verdict === "not-judged") continue;
      judged++;
      if (set) set.judged++;
      if (last.verdict !== "repeat") continue;
      repeats++;
      if (set) set.repeats++;
      const named = [...new Set(last.findings.map(({ what }) => what))];
      for (const cause of named.length > 0 ? named : ["not said"]) causes[cause] = (causes[cause] ?? 0) + 1;
    }
  }
  return { requests, months, spans, judged, repeats, causes, sets };
}

/** Median as it is taught: the middle one, or half way between the two in the middle. */
const middle = (values: readonly number[]) => {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length / 2;
  return sorted.length === 0 ? null : (sorted[Math.ceil(half) - 1]! + sorted[Math.floor(half)]!) / 2;
};

test("figures of made-up departments, by the queries and counted one by one", async (t) => {
  for (const seed of [1, 2, 3]) {
    const desk = await freshDesk(t);
    const made = departmentOf(seed);
    await write(desk, made);
    const [from, to] = ["2025-01-20", "2025-06-10"];
    const figures = await departmentFigures(desk, MARA, { from, to });
    assert.ok(figures);
    const paper = counted(made, from, to);
    assert.deepEqual(figures.requests, {
      asked: paper.requests.length,
      done: paper.requests.filter(({ state }) => state === "done").length,
      cancelled: paper.requests.filter(({ state }) => state === "cancelled").length,
    });
    assert.equal(figures.months.length, 6);
    for (const { month, ...numbers } of figures.months)
      assert.deepEqual(numbers, paper.months[month] ?? { asked: 0, visits: 0, released: 0 }, month);
    figures.turnaround.forEach(({ median, count, leftOut }, i) => {
      const spans = paper.spans.map((one) => one[i]!).filter((one) => one !== null);
      assert.equal(median, middle(spans.filter((one) => one >= 0)));
      assert.equal(count + leftOut, spans.length);
      assert.equal(leftOut, spans.filter((one) => one < 0).length);
    });
    assert.deepEqual(figures.judged, { frames: paper.judged, repeats: paper.repeats });
    assert.deepEqual(
      Object.fromEntries(figures.causes.map(({ cause, frames }) => [cause, frames])),
      paper.causes,
    );
    assert.deepEqual(
      Object.fromEntries(figures.viewSets.map(({ key, name: _, ...numbers }) => [key, { ...numbers }])),
      paper.sets,
    );
    assert.deepEqual(figures.unplaced, { frames: 2, oldestOn: "2025-01-05" });
  }
});

test("quartiles are those of the published example", async () => {
  const { spreadOf } = await import("../../src/figures/spread.ts");
  // Definition 7 of eleven numbers 0 to 10: the quartiles are the numbers themselves.
  assert.deepEqual(spreadOf([10, 0, 5, 1, 9, 2, 8, 3, 7, 4, 6]), {
    count: 11,
    lowerQuartile: 2.5,
    median: 5,
    upperQuartile: 7.5,
  });
  assert.deepEqual(spreadOf([]), { count: 0, lowerQuartile: null, median: null, upperQuartile: null });
  assert.equal(spreadOf([1, 2]).upperQuartile, 1.75);
});

test("figures are for those who handle the department's pictures", async (t) => {
  const desk = await freshDesk(t);
  for (const role of ["requester", "viewer", "administrator", "auditor"] as const)
    assert.equal(
      await departmentFigures(desk, { name: "x", role }, { from: "2025-01-01", to: "2025-12-31" }),
      null,
    );
});
