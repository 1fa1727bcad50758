import assert from "node:assert/strict";
import { test } from "node:test";
import { bagList } from "../src/bag/bag-list.ts";
import { planViews } from "../src/plan/plan-views.ts";
import { practiceOf, setOf, viewOf } from "./support.ts";

const MORE_KIT = `
scales:
  - { id: l-1, name: L-scale, kind: L, lengthMm: 105, dueOn: 2026-05-01 }
  - { id: labels-2cm, name: 2 cm labels, kind: label, lengthMm: 20, singleUse: true, count: 3 }
mirrors: [{ id: floor, name: Floor mirror, kind: floor, widthMm: 300, heightMm: 200, clean: false }]
drapes: [{ id: blue, name: Blue cloth, colour: plain blue, widthMm: 900, heightMm: 900, washable: true, count: 2 }]
labels: [{ id: sheets, name: Label sheets, count: 3 }]
batteries: [{ id: pack, name: Battery, fits: [full, small], count: 1, charged: false }]
cards: [{ id: card, name: Card, gigabytes: 64, count: 2 }]
wipes: [{ id: wipes, name: Wipes, count: 100 }]
flashes:
`;
const practice = practiceOf([["flashes:\n", MORE_KIT.trimStart()]]);
const visit = (requestCode: string, place: "studio" | "room", ...views: Parameters<typeof viewOf>[0][]) => ({
  requestCode,
  place: { key: place, name: place },
  plan: planViews(setOf(...views.map((fields, i) => viewOf({ key: `v${i}`, ...fields }))), practice, {
    freeMm: 4000,
  }),
});
const lineOf = (bag: ReturnType<typeof bagList>, id: string) => bag.lines.find((line) => line.id === id);

const round = bagList(
  [
    visit("R-1", "room", { scale: "L" }, { scale: "label" }),
    visit(
      "R-2",
      "room",
      { scale: "L", mirror: "floor" },
      { scale: "label" },
      { scale: "label", key: "more" },
    ),
  ],
  practice,
  "2026-05-02",
);

test("what can be used again is carried once, what is one patient's for every patient", () => {
  assert.equal(lineOf(round, "l-1")?.count, 1);
  assert.equal(lineOf(round, "labels-2cm")?.count, 3);
  assert.equal(lineOf(round, "blue")?.count, 2);
  assert.deepEqual(lineOf(round, "l-1")?.for, ["R-1", "R-2"]);
});

test("body, flash and card have a spare where there is one", () => {
  assert.equal(lineOf(round, "card")?.spare, 1);
  assert.equal(lineOf(round, "full")?.spare, 0);
  assert.equal(lineOf(round, "small")?.spare, 1, "another body is the spare one");
});

test("what is due, dirty, not charged or too few is said", () => {
  assert.match(lineOf(round, "l-1")!.toDo[0]!, /due since 2026-05-01/);
  assert.deepEqual(lineOf(round, "floor")?.toDo, ["clean it"]);
  assert.deepEqual(lineOf(round, "pack")?.toDo, ["charge it"]);
  assert.equal(lineOf(round, "sheets")?.missing, "4 are needed, 3 are there");
});

test("a scale that the register does not have is missing by name", () => {
  const bag = bagList([visit("R-1", "room", { scale: "straight" })], practice, "2026-05-02");
  assert.equal(
    bag.lines.find(({ what }) => what === "Straight scale")?.missing,
    "the register has none that can be used",
  );
});

test("days of a calibration record count before the register's own", () => {
  const bag = bagList(
    [visit("R-1", "room", { scale: "L" })],
    practice,
    "2026-05-02",
    new Map([["l-1", "2027-01-01"]]),
  );
  assert.deepEqual(lineOf(bag, "l-1")?.toDo, []);
});

test("between two patients the reusable things near them are cleaned; for one there is nothing between", () => {
  assert.ok(round.cleanBetween.includes("L-scale"));
  assert.deepEqual(bagList([visit("R-1", "room", {})], practice, "2026-05-02").cleanBetween, []);
});

test("a visit where the kit stands is not packed for, and an empty day needs nothing", () => {
  const stays = practiceOf([["name: Studio, freeMm: 5000", "name: Studio, freeMm: 5000, packed: false"]]);
  const bag = bagList([visit("R-1", "studio", {})], stays, "2026-05-02");
  assert.deepEqual(bag.lines, []);
  assert.equal(bag.visits[0]?.carried, false);
  assert.deepEqual(bagList([], practice, "2026-05-02").lines, []);
});
