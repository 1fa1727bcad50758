import assert from "node:assert/strict";
import { mkdtemp, readdir, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { demoCards, demoDepartment, demoSession, makeDemoCards } from "../src/index.ts";

test("every frame belongs to a request and a visit of the department", () => {
  const { requests, patients } = demoDepartment();
  for (const card of demoCards()) {
    assert.equal(new Set(card.frames.map(({ fileName }) => fileName)).size, card.frames.length);
    for (const frame of card.frames) {
      const request = requests.find(({ code }) => code === frame.requestCode);
      assert.ok(request);
      assert.equal(request.patientNumber, frame.patientNumber);
      assert.ok(
        frame.patientNumber === null || patients.some(({ number }) => number === frame.patientNumber),
      );
      assert.ok(request.visitDates.includes(frame.visitDate));
      assert.equal(frame.shows === "label", frame.viewKey === null);
    }
  }
});

/** Booked, and the patient did not come. */
const NOT_ATTENDED = { code: "R-101", date: "2026-04-27" };

test("every visit of every request but one is on a card, and a label frame opens it unless that was planted", () => {
  const frames = [...demoCards(), demoSession()].flatMap((card) => card.frames);
  for (const request of demoDepartment().requests) {
    for (const date of request.visitDates) {
      const visit = frames.filter((frame) => frame.requestCode === request.code && frame.visitDate === date);
      const came = !(request.code === NOT_ATTENDED.code && date === NOT_ATTENDED.date);
      assert.equal(visit.length > 0, came, `${request.code} ${date}`);
      if (!came) continue;
      const unlabelled = visit.every(({ planted }) => planted.some(({ fault }) => fault === "no-label"));
      assert.equal(visit[0]!.shows === "label", !unlabelled);
    }
  }
});

test("each kind of fault is planted once, and the clock that runs wrong is wrong on its whole card", () => {
  const cards = demoCards();
  const planted = cards.flatMap((card) =>
    card.frames.flatMap((frame) => frame.planted.map(({ fault }) => ({ fault, card: card.key }))),
  );
  const cardsOf = (fault: string): number =>
    new Set(planted.filter((p) => p.fault === fault).map((p) => p.card)).size;
  for (const fault of ["clock", "ratio", "lean", "scale-height", "no-label"])
    assert.equal(cardsOf(fault), 1, fault);
  const wrong = cards.find(({ clockOffsetS }) => clockOffsetS !== 0)!;
  for (const { trueTakenAt, camera } of wrong.frames) {
    const [day, time] = camera.takenAt.split(" ") as [string, string];
    const shown = Date.parse(`${day.replaceAll(":", "-")}T${time}Z`);
    assert.equal((shown - Date.parse(`${trueTakenAt}Z`)) / 1000, 3 * 3600 + 12 * 60);
  }
});

test("labels carry the code that the caller asks for", () => {
  const texts = demoCards({ labelText: (request, patient) => `${request}|${patient}` }).flatMap(
    ({ frames }) =>
      frames.flatMap(({ scene }) =>
        scene.things.flatMap((thing) => (thing.kind === "card" ? [thing.code?.text] : [])),
      ),
  );
  assert.ok(texts.includes("R-101|FH204118"));
  assert.ok(texts.includes("R-106|null"));
});

test("makes one card: files whole, truth and clicks beside them", async () => {
  const folder = await mkdtemp(join(tmpdir(), "samescale-demo-"));
  try {
    const seen: number[] = [];
    const manifest = await makeDemoCards(folder, {
      only: ["CARD-C"],
      onProgress: (done, total) => seen.push(done / total),
    });
    assert.equal(seen.at(-1), 1);
    const [card] = manifest.cards;
    assert.equal(manifest.cards.length, 1);
    const files = await readdir(join(card!.path, card!.folder));
    assert.deepEqual(files.sort(), card!.frames.map(({ fileName }) => fileName).sort());
    const closeUp = card!.frames.find(({ viewKey }) => viewKey === "close-up")!;
    assert.ok((await stat(closeUp.path)).size > 100_000);
    assert.ok(Math.abs(closeUp.truth.surface.leanDeg - 12) < 0.01, "the planted lean");
    const outline = closeUp.truth.things.find(({ kind }) => kind === "wound")!.regions[0]!.outlinePx;
    for (const [x, y] of closeUp.clicks!.inside) assert.ok(holds(outline, x, y));
    for (const [x, y] of closeUp.clicks!.outside) assert.ok(!holds(outline, x, y));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});

test("stopping leaves no half-written file", async () => {
  const folder = await mkdtemp(join(tmpdir(), "samescale-demo-"));
  try {
    const stop = new AbortController();
    const made = makeDemoCards(folder, {
      only: ["CARD-C"],
      threads: 1,
      signal: stop.signal,
      onProgress: () => stop.abort(),
    });
    await assert.rejects(made, { code: "STOPPED" });
    const files = await readdir(join(folder, "CARD-C/DCIM/100VC___"));
    assert.deepEqual(files, ["VC010007.JPG"]);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
});

function holds(ring: readonly (readonly [number, number])[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [xi, yi] = ring[i]!;
    const [xj, yj] = ring[j]!;
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
  }
  return inside;
}
