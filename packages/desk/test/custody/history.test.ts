import assert from "node:assert/strict";
import { test } from "node:test";
import { history, proofFiles } from "../../src/index.ts";
import {
  addTwoRequests,
  freshDesk,
  LEG_LABEL,
  MARA,
  makeCard,
  takeAll,
  temporaryFolder,
} from "../support.ts";

test("what happened to a frame is told from the card on, in the order of the log, and can be proved", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(await temporaryFolder(t), {
    "DCIM/100ABCDE/DSC_0001.JPG": { taken: "2026:03:15 09:00:00", codes: [LEG_LABEL] },
    "DCIM/100ABCDE/DSC_0002.JPG": { taken: "2026:03:15 09:01:00" },
  });
  await takeAll(desk, [card]);
  const { id } = await desk.library.read
    .selectFrom("frame")
    .select("id")
    .where("name", "=", "DSC_0002")
    .executeTakeFirstOrThrow();
  const told = await history(desk, MARA, `frame/${id}`);
  const acts = (told ?? []).map(({ act }) => act);
  assert.deepEqual(
    [...new Set(acts)].filter((act) => ["intake.begin", "file.store", "intake.finish"].includes(act)),
    ["intake.begin", "file.store", "intake.finish"],
  );
  assert.ok(acts.filter((act) => act === "file.store").length === 1, "the other picture's file is not told");
  assert.equal(
    told?.find(({ act }) => act === "file.store")?.says,
    "a camera file was kept, read back and compared",
  );
  const entries = (told ?? []).map(({ entry }) => entry);
  assert.deepEqual(
    entries,
    entries.toSorted((a, b) => a - b),
  );

  const files = await proofFiles(desk, MARA, { entries: [], subjects: [`frame/${id}`], since: null });
  assert.ok(files.some(({ name }) => /^entry-\d+\.line$/.test(name)));

  const auditor = { name: "axel", role: "auditor" } as const;
  assert.equal((await history(desk, auditor, `frame/${id}`))?.length, told?.length);
  assert.equal(await history(desk, MARA, "frame/nobody"), null);
  assert.equal(await history(desk, MARA, "intake/nobody"), null);
  await assert.rejects(history(desk, { name: "vera", role: "viewer" }, `frame/${id}`), {
    code: "ACT_REFUSED",
  });
  await assert.rejects(history(desk, MARA, "frame/../x"), { code: "BAD_SUBJECT" });
});
