import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { resolve } from "node:path";
import { test } from "node:test";
import type { XY } from "../../src/answers.ts";
import { barOverEyes } from "../../src/deidentify/bar-over-eyes.ts";
import { faceCascade } from "../../src/deidentify/faces.ts";
import { inPolygon } from "../../src/deidentify/mask-area.ts";
import { proposeMasks } from "../../src/deidentify/propose-masks.ts";
import { labelsOfFile } from "../../src/label/labels-of-file.ts";

const shared = resolve(import.meta.dirname, "../../../../../shared/data");
const skip = existsSync(shared) ? false : "the shared pictures are not here";

test("a label with a code is proposed whole: the code and a margin round it", { skip }, async () => {
  for (const name of ["code128-2_01.png", "code128-2_02.png", "four-qr-notebook.jpg"]) {
    const file = `${shared}/barcodes/${name}`;
    const { areas } = await proposeMasks({ file, faceCascade: "none" });
    const labels = areas.filter(({ from }) => from === "code-reader");
    const { codes } = await labelsOfFile({ file });
    assert.ok(codes.length > 0 && labels.length === codes.length, name);
    assert.ok(labels.every(({ kind }) => kind === "label"));
    for (const { corners } of codes) {
      for (const corner of corners)
        assert.ok(
          labels.some(({ polygon }) => inPolygon(polygon, corner)),
          name,
        );
    }
  }
});

test("without a trained face on this machine it is said that nobody looked for faces", { skip }, async () => {
  const { areas, notLookedFor } = await proposeMasks({
    file: `${shared}/portraits/astronaut.png`,
    faceCascade: "none",
  });
  assert.ok(notLookedFor.includes("faces") && notLookedFor.includes("tattoos"));
  assert.ok(areas.every(({ kind }) => kind !== "face"));
});

test("with Debian's trained face a portrait's face is proposed, hair and chin included", {
  skip,
}, async (t) => {
  if ((await faceCascade()) === null) return t.skip("no trained face here (Debian: opencv-data)");
  const { areas, notLookedFor } = await proposeMasks({ file: `${shared}/portraits/astronaut.png` });
  const faces = areas.filter(({ kind }) => kind === "face");
  // Eyes, nose and chin of the portrait, read off by hand.
  const points: XY[] = [
    [205, 105],
    [245, 105],
    [225, 125],
    [225, 160],
  ];
  assert.ok(faces.some(({ polygon }) => points.every((point) => inPolygon(polygon, point))));
  assert.ok(notLookedFor.some((said) => /from the side/.test(said)));
});

test("a bar over the eyes is told by its name, its shape and the face under it; a whole face is none", () => {
  const box = (x0: number, y0: number, x1: number, y1: number): XY[] => [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
  const face = box(100, 100, 200, 240);
  const bar = box(90, 145, 210, 170);
  assert.match(barOverEyes("eyes", bar, [], []) ?? "", /ICMJE/);
  assert.match(barOverEyes("face", bar, [], []) ?? "", /a bar, not a face/);
  assert.match(
    barOverEyes("other", bar, [{ kind: "other", polygon: bar }], [face]) ?? "",
    /covers the eyes of a face/,
  );
  const whole = [
    { kind: "face", polygon: face },
    { kind: "other", polygon: bar },
  ] as const;
  assert.equal(barOverEyes("other", bar, whole, [face]), null);
  assert.equal(barOverEyes("face", face, whole, [face]), null);
  // A label on the chin, and one beside the face, are no bars.
  assert.equal(barOverEyes("label", box(120, 215, 180, 235), [], [face]), null);
  assert.equal(barOverEyes("label", box(300, 145, 400, 170), [], [face]), null);
});
