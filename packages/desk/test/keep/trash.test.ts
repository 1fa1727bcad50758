import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { doneOrThrow, framesOfVisit, takeBackFrames, trashFrames, undoTrash } from "../../src/index.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  LEG_LABEL,
  MARA,
  makeCard,
  takeAll,
  temporaryFolder,
} from "../support.ts";

test("a frame that is put aside is in no list, is still there, and comes back; undo undoes one's own last slip", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DCIM/100CLINI/DSC_0001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100CLINI/DSC_0002.JPG": { taken: "2026:03:15 09:01:00" },
    "DCIM/100CLINI/DSC_0003.JPG": { taken: "2026:03:15 09:02:00" },
  });
  await takeAll(desk, [card]);
  const { visit_id } = await desk.library.read
    .selectFrom("frame")
    .select("visit_id")
    .where("visit_id", "is not", null)
    .executeTakeFirstOrThrow();
  const listed = async () =>
    (await framesOfVisit(desk, MARA, visit_id as string)).map((frame) => frame.frameId);
  const [first = "", second = ""] = await listed();
  assert.equal((await trashFrames(desk, MARA, { frameIds: [first], because: "" })).done, false);
  doneOrThrow(await trashFrames(desk, MARA, { frameIds: [first], because: "eyes shut" }));
  assert.deepEqual(await listed(), [second]);
  assert.deepEqual(await faultsOf(desk), []);
  assert.equal((await trashFrames(desk, MARA, { frameIds: [second, first], because: "twice" })).done, false);
  assert.deepEqual(await listed(), [second]);
  const strange = await trashFrames(desk, MARA, { frameIds: ["nobody"], because: "x" });
  assert.match(strange.done ? "" : strange.reason, /no frame nobody/);

  const other = { name: "kai", role: "photographer" } as const;
  assert.equal((await undoTrash(desk, other)).done, false);
  const undone = doneOrThrow(await undoTrash(desk, MARA));
  assert.deepEqual([undone.act, undone.frames], ["frame.trash", 1]);
  assert.deepEqual(await listed(), [first, second]);
  doneOrThrow(await undoTrash(desk, MARA)); // the undoing is undone
  assert.deepEqual(await listed(), [second]);
  doneOrThrow(await takeBackFrames(desk, MARA, { frameIds: [first], because: "better than none" }));
  assert.deepEqual(await listed(), [first, second]);
  const acts = await desk.library.read
    .selectFrom("act")
    .select("act")
    .orderBy("sequence", "desc")
    .limit(4)
    .execute();
  assert.deepEqual(
    acts.map(({ act }) => act),
    ["frame.take-back", "frame.trash", "frame.take-back", "frame.trash"],
  );
});
