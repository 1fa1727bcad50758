import assert from "node:assert/strict";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { readPracticeFolder } from "@samescale/desk";
import { planViews } from "@samescale/practice";
import { demoCards, demoDepartment } from "@samescale/simulator";

const practice = await readPracticeFolder(fileURLToPath(new URL("../demo-practice", import.meta.url)));

test("every frame of the demonstration is as its view was planned, save where a fault was planted", () => {
  const { requests } = demoDepartment();
  for (const frame of demoCards().flatMap((card) => card.frames)) {
    const request = requests.find(({ code }) => code === frame.requestCode)!;
    const set = practice.viewSets.find(({ key }) => key === request.viewSet);
    assert.ok(set, request.viewSet);
    const planned = planViews(set, practice).views.find(({ view }) => view.key === frame.viewKey);
    assert.equal(frame.shows === "label", planned === undefined);
    if (!planned) continue;
    const wrong = frame.planted.find(({ fault }) => fault === "ratio");
    const made = wrong?.fault === "ratio" ? wrong.madeMagnification : planned.magnification;
    assert.equal(frame.camera.magnification, made);
    assert.equal(frame.camera.focalMm, planned.focalMm);
    assert.equal(frame.camera.heightPx > frame.camera.widthPx, planned.view.orientation === "portrait");
    assert.equal(
      frame.scene.things.some(({ kind }) => kind === "mirror"),
      planned.view.mirrored,
    );
  }
});
