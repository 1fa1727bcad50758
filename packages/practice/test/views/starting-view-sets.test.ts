import assert from "node:assert/strict";
import { existsSync, readFileSync } from "node:fs";
import { test } from "node:test";
import { formatRatio } from "@samescale/optics";
import { planViews } from "../../src/plan/plan-views.ts";
import { originOf, type View } from "../../src/views/view.ts";
import { starting, startingViews, viewSetTexts } from "./starting-practice.ts";

const CSV = new URL("../../../../../shared/reference/standard-views.csv", import.meta.url);
const skip = existsSync(CSV) ? false : "needs ../shared/reference/standard-views.csv";

interface Row {
  readonly region: string;
  readonly side: string;
  readonly view: string;
  readonly ratio: string;
  readonly ratioMark: string;
  readonly viewMark: string;
}

/** Commas inside quotes belong to the field. */
const cells = (line: string): string[] =>
  [...line.matchAll(/(?:^|,)(?:"([^"]*)"|([^,]*))/g)].map(([, quoted, plain]) => quoted ?? plain ?? "");

function rows(): Row[] {
  return readFileSync(CSV, "utf8")
    .trim()
    .split("\n")
    .slice(1)
    .map(cells)
    .map(([region, side, view, ratio, ratioMark, , , , viewMark]) => ({
      region: region!,
      side: side!,
      view: view!,
      ratio: ratio!,
      ratioMark: ratioMark!,
      viewMark: viewMark!,
    }));
}

const SIDES: Readonly<Record<string, readonly View["side"][]>> = {
  right: ["right"],
  left: ["left"],
  bilateral: ["both", "left", "right"],
  single: ["either"],
};

test("every row of the reference's standard views is there with its ratio, its view and both marks", {
  skip,
}, () => {
  const all = rows();
  assert.equal(all.length, 94, "the reference says that it lists 94 views");
  for (const row of all) {
    const what = `${row.region}, ${row.view}, ${row.side}`;
    const found = startingViews.filter(
      (view) =>
        view.part === row.region &&
        view.aspect === row.view &&
        (row.side === "-" || SIDES[row.side]!.includes(view.side)),
    );
    assert.ok(found.length > 0, `no view for ${what}`);
    for (const view of found) {
      assert.equal(formatRatio(view.magnification), row.ratio, what);
      assert.equal(originOf(view, "ratio").mark, row.ratioMark, `${what}: mark of the ratio`);
      assert.equal(originOf(view, "view").mark, row.viewMark, `${what}: mark of the view`);
    }
  }
});

test("nothing is marked published that the reference does not mark so", { skip }, () => {
  const published = rows();
  const of = (view: View) => published.find((row) => row.region === view.part && row.view === view.aspect);
  for (const view of startingViews) {
    const row = of(view);
    const what = `${view.set}, ${view.key}`;
    if (originOf(view, "ratio").mark === "published") assert.equal(row?.ratioMark, "published", what);
    for (const [field, origin] of Object.entries(view.origins)) {
      if (origin.mark !== "published" || field === "ratio") continue;
      if (field === "cameraAngle") {
        // Camera about 45 degrees to the mirror: published (trade-facts 2.3, Fan).
        assert.ok(view.mirrored, `${what}: ${field} is marked published`);
        continue;
      }
      assert.equal(field, "view", `${what}: ${field} is marked published`);
      // Bite-type marks are photographed in the order of the same sources as other injuries (trade-facts 3.3).
      const known = row?.viewMark === "published" || ["injury", "bite-mark"].includes(view.set);
      assert.ok(known, `${what}: the view is marked published`);
    }
  }
});

test("every file begins with the sentence that a department must set its own", () => {
  for (const { path, text } of viewSetTexts) {
    assert.match(
      text,
      /^# A starting point\. Few .* a department must set its own and raise the version\.\n/,
      path,
    );
  }
});

test("there is a set for everything that a department is asked for", () => {
  const wanted =
    "lesion wound pressure-areas injury bite-mark hand hands foot feet face head-neck ears eyes mouth dental-arches breast torso half-body full-length burns hair-scalp nails newborn theatre specimen upper-limb lower-limb lower-leg portrait event room equipment";
  assert.deepEqual(starting.viewSets.map(({ key }) => key).toSorted(), wanted.split(" ").toSorted());
});

const clinical = startingViews.filter((view) => view.lens === "clinical");
const setOf = (key: string) => startingViews.filter((view) => view.set === key);

// Common practice, no source: the facts of the trade that the brief of these sets names.
test("ring light for the mouth and for life size on the sensor", () => {
  for (const view of [
    ...setOf("mouth"),
    ...setOf("dental-arches"),
    ...clinical.filter((v) => v.magnification >= 1),
  ]) {
    assert.equal(view.light, "ring", `${view.set}, ${view.key}`);
  }
});

test("side light where texture matters: injuries, bite-type marks and scars have such a view", () => {
  for (const key of ["injury", "bite-mark", "burns"]) {
    assert.ok(
      setOf(key).some(({ light }) => light === "side"),
      key,
    );
  }
});

test("the heel is made by a mirror on the floor, on both sides, and is known to be changed over", () => {
  const heels = setOf("pressure-areas").filter(({ aspect }) => aspect.startsWith("heel"));
  assert.deepEqual(heels.map(({ side }) => side).toSorted(), ["left", "right"]);
  for (const view of heels) {
    assert.equal(view.mirror, "floor");
    assert.equal(view.mirrored, true);
    assert.match(view.instructions, /turn back/i);
  }
});

test("an L-shaped scale for larger wounds, injuries and burns, a label scale for a small lesion", () => {
  const close = (set: string) => setOf(set).find(({ key }) => key === "close-up")!;
  for (const set of ["wound", "injury", "bite-mark", "burns"]) assert.equal(close(set).scale, "L", set);
  assert.equal(close("lesion").scale, "label");
});

test("the backdrop is plain and does not reflect", () => {
  for (const { set, key, backdrop } of clinical) {
    assert.match(backdrop, /not reflecting|none behind/, `${set}, ${key}`);
  }
});

test("a wide lens is for rooms and events only", () => {
  const others = startingViews.filter((view) => view.lens === "room");
  assert.deepEqual([...new Set(others.map(({ set }) => set))].toSorted(), ["event", "room"]);
});

test("with and without scale: close views that are measured or shown in court come as pairs", () => {
  for (const set of ["lesion", "wound", "injury", "bite-mark", "burns", "theatre", "nails"]) {
    assert.ok(
      setOf(set).some(({ pairOf }) => pairOf !== undefined),
      set,
    );
  }
});

test("Frankfort horizontal for the head, never mixed with natural head position", () => {
  // Ferrario and others 1993: standing, the Frankfort plane points up by 13 degrees in natural head position.
  for (const { views, key } of starting.viewSets) {
    const lines = new Set(views.map(({ referenceLine }) => referenceLine));
    assert.ok(!(lines.has("frankfort-horizontal") && lines.has("natural-head-position")), key);
  }
  const sides = [...setOf("face"), ...setOf("head-neck")].filter(({ aspect }) => aspect.includes("lateral"));
  assert.equal(sides.length, 4);
  for (const view of sides) assert.equal(view.referenceLine, "frankfort-horizontal");
});

test("cautions, chaperone and identity are where they belong", () => {
  for (const view of startingViews) {
    const what = `${view.set}, ${view.key}`;
    if (view.set === "newborn") assert.ok(view.cautions.includes("newborn"), what);
    if (view.set === "newborn") assert.equal(view.light, "soft", what);
    if (view.part === "eyes" || view.part === "eye")
      assert.ok(view.cautions.includes("flash-near-eyes"), what);
    if (["face", "full length", "portrait"].includes(view.part)) assert.equal(view.identifiable, true, what);
    if (["breast", "torso/abdomen", "full length"].includes(view.part))
      assert.equal(view.chaperone, "offer", what);
    if (view.mirrored && view.mirror !== "floor") assert.ok(view.cautions.includes("infection"), what);
  }
});

test("the starting kit makes every starting view in the studio: no view asks for what its own kit cannot give", () => {
  for (const set of starting.viewSets) {
    const { views, refused } = planViews(set, starting, { side: "left", place: "studio" });
    assert.deepEqual(
      refused.map(({ view, reason }) => `${set.key}, ${view.key}: ${reason}`),
      [],
    );
    for (const { view, depth, flash } of views) {
      const what = `${set.key}, ${view.key}`;
      assert.ok(depth === null || depth.reached, `${what}: ${depth?.says}`);
      assert.ok(!/too bright|too weak|not enough/i.test(flash?.says ?? ""), `${what}: ${flash?.says}`);
    }
  }
});
