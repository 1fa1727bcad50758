import assert from "node:assert/strict";
import { test } from "node:test";
import { FIGURES } from "../../src/figures/catalogue.ts";
import { extentOf, oval, straight, through, turnedOver } from "../../src/figures/pen.ts";
import { viewFigure } from "../../src/figures/view-figure.ts";
import { startingViews } from "../views/starting-practice.ts";

const fieldOf = (view: (typeof startingViews)[number]) => {
  const [long, short] = [36 / view.magnification, 24 / view.magnification];
  return view.orientation === "landscape" ? { width: long, height: short } : { width: short, height: long };
};

test("every view of the starting practice has a figure of which something lies in the frame", () => {
  for (const view of startingViews) {
    const what = `${view.set}, ${view.key}`;
    assert.ok(view.figure, `${what} has no figure`);
    const { frame } = viewFigure({ ...view, scale: "none" }, fieldOf(view));
    const strokes = viewFigure({ ...view, scale: "none" }, fieldOf(view)).strokes;
    const inside = strokes.filter((stroke) => {
      const box = extentOf([stroke]);
      return (
        box.x < frame.x + frame.width &&
        box.x + box.width > frame.x &&
        box.y < frame.y + frame.height &&
        box.y + box.height > frame.y
      );
    });
    assert.ok(inside.length > 0, `${what}: the frame is empty`);
  }
});

test("every figure is used by a view", () => {
  const used = new Set(startingViews.map(({ figure }) => figure));
  assert.deepEqual(
    Object.keys(FIGURES).filter((name) => !used.has(name as keyof typeof FIGURES)),
    [],
  );
});

test("paths are plain SVG: M, L, C and Z with pairs of numbers", () => {
  for (const [name, { strokes }] of Object.entries(FIGURES)) {
    for (const { path } of strokes) {
      assert.match(path, /^M -?[\d.]+,-?[\d.]+(?: (?:[LC]|-?[\d.]+,-?[\d.]+))*(?: Z)?$/, `${name}: ${path}`);
    }
  }
});

test("a standing person is 1.8 m tall and a full-length frame at 1:55 holds them with a margin", () => {
  const { height } = extentOf(FIGURES["full-length-front"].strokes);
  assert.ok(Math.abs(height - 1800) < 15, `drawn ${height} mm tall`);
  const { frame } = viewFigure(
    { figure: "full-length-front", side: "none", scale: "none" },
    { width: 1320, height: 1980 },
  );
  assert.ok(frame.y < 0 && frame.y + frame.height > 1800);
});

test("anatomy of a grown person, common knowledge, no source: ear 60 to 70 mm, iris 11 to 12 mm", () => {
  const ear = extentOf(FIGURES.ear.strokes.filter(({ pen }) => pen === "line"));
  assert.ok(ear.height > 58 && ear.height < 72, `ear ${ear.height} mm`);
  const iris = extentOf(FIGURES.eye.strokes.filter(({ pen }) => pen === "mark").slice(0, 1));
  assert.ok(iris.width > 10.5 && iris.width < 12.5, `iris ${iris.width} mm`);
});

test("the left side is the right side turned over, the same frame about it", () => {
  const view = { figure: "hand-dorsal", scale: "none" } as const;
  const field = { width: 192, height: 288 };
  const [right, left] = [
    viewFigure({ ...view, side: "right" }, field),
    viewFigure({ ...view, side: "left" }, field),
  ];
  assert.deepEqual(
    left.strokes.map(({ path }) => path),
    right.strokes.map(({ path }) => turnedOver(path)),
  );
  assert.equal(left.frame.x + left.frame.width, -right.frame.x);
  assert.deepEqual([right.letters[0]?.text, left.letters[0]?.text], ["R", "L"]);
});

test("from the front the patient's right is at the left, from behind at the right", () => {
  const lettersOf = (figure: "head-front" | "head-back") =>
    viewFigure({ figure, side: "none", scale: "none" }, { width: 240, height: 360 }).letters;
  const [front, back] = [lettersOf("head-front"), lettersOf("head-back")];
  assert.deepEqual([front[0]!.text, front[1]!.text, front[0]!.x < front[1]!.x], ["R", "L", true]);
  assert.deepEqual([back[0]!.text, back[1]!.text, back[0]!.x < back[1]!.x], ["L", "R", true]);
});

test("the right profile looks to the picture's right", () => {
  // Standing at the patient's right side, a patient who looks north is seen from the east: north is at the right.
  const { strokes } = FIGURES["head-side"];
  const { x, width } = extentOf(strokes.slice(0, 1));
  const nose = [...strokes[0]!.path.matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map(([, px, py]) => [
    Number(px),
    Number(py),
  ]);
  const tip = nose.toSorted(([ax], [bx]) => bx! - ax!)[0]!;
  assert.ok(
    tip[0]! > x + 0.95 * width && tip[1]! > 120 && tip[1]! < 170,
    "the nose is not the rightmost part",
  );
});

test("a scale lies within the frame, a 2 cm label at its true length", () => {
  const field = { width: 144, height: 96 };
  const scaleOf = (scale: "straight" | "L" | "label" | "marker") =>
    extentOf(viewFigure({ side: "none", scale }, field).strokes.filter(({ pen }) => pen === "thing"));
  for (const kind of ["straight", "L", "label", "marker"] as const) {
    const box = scaleOf(kind);
    assert.ok(box.x > -72 && box.x + box.width < 72 && box.y > -48 && box.y + box.height < 48, kind);
  }
  assert.equal(scaleOf("label").width, 20);
});

test("a view of a department's own without a figure shows the picture's edge", () => {
  const shown = viewFigure({ side: "left", scale: "none" }, { width: 36, height: 24 });
  assert.deepEqual(shown.strokes, []);
  assert.deepEqual(shown.frame, { x: -18, y: -12, width: 36, height: 24 });
  assert.equal(shown.letters[0]?.text, "L");
});

test("the pen: straight lines, smooth lines through their points, circles", () => {
  assert.equal(straight("0,0 1,2", true), "M 0,0 L 1,2 Z");
  assert.equal(through("0,0 3,0"), "M 0,0 C 0.5,0 2.5,0 3,0");
  assert.deepEqual(extentOf([{ path: oval(1, 2, 3), pen: "line" }]), { x: -2, y: -1, width: 6, height: 6 });
});
