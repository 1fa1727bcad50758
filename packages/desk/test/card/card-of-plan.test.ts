import assert from "node:assert/strict";
import { dirname } from "node:path";
import { before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { type Practice, planViews } from "@samescale/practice";
import { cardOfPlan } from "../../src/card/card-of-plan.ts";
import { readPracticeFolder } from "../../src/practice/practice-folder.ts";

const STARTING = dirname(fileURLToPath(import.meta.resolve("@samescale/practice/starting/department.yaml")));
const NOW = new Date("2026-05-03T09:00:00Z");
let practice: Practice;
before(async () => {
  practice = await readPracticeFolder(STARTING);
});

const subject = {
  requestCode: "R-17",
  dueDate: "2026-05-04",
  patient: { number: "FI204417", name: "Ada Example" },
};
function cardOf(
  set: string,
  { nameOnCard = false, side = "left" as "left" | "right", place = "studio" } = {},
) {
  const plan = planViews(practice.viewSets.find(({ key }) => key === set)!, practice, { side, place });
  return { plan, card: cardOfPlan(subject, plan, { department: "Invented", nameOnCard }, NOW) };
}

test("views stand in working order with the numbers of the plan", () => {
  const { plan, card } = cardOf("wound");
  assert.deepEqual(
    card.views.map(({ name }) => name),
    plan.views.map(({ view }) => view.name),
  );
  const closeUp = card.views.at(-1)!;
  assert.equal(closeUp.ratio, "1:4");
  assert.equal(closeUp.aperture, `f/${plan.views.at(-1)!.fNumber}`);
  assert.match(closeUp.distance, /^about 50 cm$/);
  assert.match(closeUp.scale!, /^L-scale: beside the wound.*in the plane of the wound's edge\.$/);
  assert.match(closeUp.shows, /LEFT/);
});

test("a lens whose front was measured gives the distance before it, without about", () => {
  const { plan } = cardOf("wound");
  const views = plan.views.map((view) => ({ ...view, workingDistanceMm: 321 }));
  const { distance, lens } = cardOfPlan(subject, { ...plan, views }, practice, NOW).views[0]!;
  assert.equal(distance, "32 cm");
  assert.match(lens, /^before the /);
});

test("what most views say alike is said once, and a view says where it differs", () => {
  const { card } = cardOf("face");
  assert.ok(card.usual.some((says) => /Camera height: middle of the face/.test(says)));
  const [atRest] = card.views;
  assert.ok(!atRest!.notes.some((note) => note.startsWith("Camera height")));
  const basal = card.views.find(({ name }) => name === "From below")!;
  assert.ok(basal.notes.some((note) => /Camera height: level with the nostrils/.test(note)));
  // Nothing is lost: every view's own words stand on it or are the usual ones.
  const { plan } = cardOf("face");
  plan.views.forEach(({ view }, i) => {
    const said = [...card.usual, ...card.views[i]!.notes].join(" ");
    for (const words of [view.position, view.cameraHeight, view.cameraAngle, view.instructions]) {
      assert.ok(said.toLowerCase().includes(words.toLowerCase()), `${view.key}: ${words}`);
    }
  });
});

test("the line that is held level is named, and never for a view without one", () => {
  const { card } = cardOf("head-neck");
  assert.ok(card.usual.includes("Frankfort horizontal level."));
  // From below no line is held level: the word is not shared then, it stands where it holds.
  const face = cardOf("face").card;
  assert.ok(!face.usual.includes("Frankfort horizontal level."));
  assert.ok(face.views[0]!.notes.includes("Frankfort horizontal level."));
  assert.ok(
    !face.views.find(({ name }) => name === "From below")!.notes.includes("Frankfort horizontal level."),
  );
});

test("each caution stands on the card once", () => {
  for (const set of ["injury", "newborn", "breast", "eyes"]) {
    const { plan, card } = cardOf(set);
    for (const says of plan.views.flatMap(({ cautions }) => cautions)) {
      assert.equal(card.cautions.filter((one) => one === says).length, 1, set);
    }
  }
});

test("a chaperone is named even where no view speaks of dignity; recognisable views are counted", () => {
  const { plan } = cardOf("wound");
  const views = plan.views.map((planned, i) => ({
    ...planned,
    cautions: [],
    view: { ...planned.view, chaperone: "offer" as const, identifiable: i === 1 },
  }));
  assert.deepEqual(cardOfPlan(subject, { ...plan, views }, practice, NOW).cautions, [
    "Offer a chaperone; write down the name, or that none was wanted.",
    "A person can be recognised in view 2.",
  ]);
});

test("where the light stands and how strong it begins is said; a view with another light says its own", () => {
  const { plan, card } = cardOf("injury");
  const said = (i: number) => [...card.usual, ...card.views[i]!.notes].join(" ");
  plan.views.forEach(({ light, flash }, i) => {
    assert.ok(said(i).toLowerCase().includes(light.placement.toLowerCase()), card.views[i]!.name);
    assert.ok(said(i).includes(flash!.says), card.views[i]!.name);
  });
  assert.ok(card.views.at(-1)!.notes.some((note) => note.startsWith("Side light for texture")));
  assert.match(cardOf("newborn").card.usual.join(" "), /Meter the light/);
});

test("a smaller sensor's ratio stands with the one that it is named for, and a depth that is not reached is said", () => {
  const set = practice.viewSets.find(({ key }) => key === "wound")!;
  const plan = planViews(set, practice, { side: "left", body: "body-2" });
  const closeUp = cardOfPlan(subject, plan, practice, NOW).views.at(-1)!;
  assert.equal(closeUp.ratio, "1:6.13");
  assert.ok(closeUp.notes.includes("1:4 on 36 × 24 mm."));
  const shallow = { wantedMm: 40, gotMm: 22, reached: false, says: "Only 22 of 40 mm are sharp." };
  const views = plan.views.map((view) => ({ ...view, depth: shallow }));
  assert.ok(cardOfPlan(subject, { ...plan, views }, practice, NOW).views[0]!.notes.includes(shallow.says));
});

test("the patient's name only where the practice allows it; the number and the code always", () => {
  const without = cardOf("wound").card;
  assert.equal(without.patientName, null);
  assert.ok(!JSON.stringify(without).includes("Ada"));
  assert.equal(without.codeText, "SR1:R-17:FI204417");
  assert.equal(cardOf("wound", { nameOnCard: true }).card.patientName, "Ada Example");
});

test("a request that is no patient's names none", () => {
  const { plan } = cardOf("room");
  const card = cardOfPlan({ ...subject, patient: null }, plan, practice, NOW);
  assert.deepEqual([card.patientNumber, card.patientName, card.codeText], [null, null, "SR1:R-17"]);
});

test("a mirror is named, and that left and right are changed over", () => {
  const { card } = cardOf("pressure-areas");
  const heels = card.views.filter(({ name }) => name.includes("heel"));
  assert.equal(heels.length, 2);
  for (const { notes } of heels) assert.ok(notes.some((note) => /floor mirror: left and right/.test(note)));
});

test("what a place does not allow stands under what cannot be made", () => {
  const { plan, card } = cardOf("full-length", { place: "ward" });
  assert.ok(plan.refused.length > 0);
  assert.deepEqual(
    card.refused.map(({ reason }) => reason),
    plan.refused.map(({ reason }) => reason),
  );
});

test("every starting set makes a card in the studio", () => {
  for (const { key } of practice.viewSets) {
    const { card, plan } = cardOf(key);
    assert.equal(card.views.length + card.refused.length, plan.views.length + plan.refused.length);
    for (const { name, ratio, distance, notes } of card.views) {
      for (const text of [name, ratio, distance, ...notes])
        assert.ok(text.trim() !== "" && !/undefined|NaN|null/.test(text));
    }
  }
});
