import assert from "node:assert/strict";
import { join } from "node:path";
import { test } from "node:test";
import { contactSheet, thumbnail } from "../../src/index.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  LEG_LABEL,
  MARA,
  makeCard,
  placings,
  summaryOf,
  takeAll,
  temporaryFolder,
} from "../support.ts";
import { at } from "./morning.ts";

const SOUND = Buffer.from("RIFF\0\0\0\0WAVEfmt ", "latin1");
const MOVIE = Buffer.from("\0\0\0\x14ftypmp42\0\0\0\0", "latin1");
const CARD = {
  "DCIM/100CLINI/DSC_0001.JPG": { taken: at(0), codes: [LEG_LABEL] },
  "DCIM/100CLINI/DSC_0002.JPG": { taken: at(1) },
  "DCIM/100CLINI/DSC_0002.XMP": "<?xpacket begin='' ?> settings",
  "DCIM/100CLINI/DSC_0002.WAV": SOUND,
  "DCIM/100CLINI/DSC_0003.JPG": { taken: at(2) },
  "DCIM/100CLINI/DSC_0003.JPG.xmp": "<x:xmpmeta> other settings",
  "DCIM/100CLINI/DSC_0004.MP4": MOVIE,
  "DCIM/100CLINI/DSC_0004.THM": { taken: at(3) },
  "DCIM/100CLINI/DSC_0005.JPG": { taken: at(4) },
};

test("sidecars and video stay with the picture of their name; a video alone is a frame in its place", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), CARD);
  const lines = await takeAll(desk, [card]);
  assert.deepEqual([summaryOf(lines).stored, summaryOf(lines).cardMayBeErased], [9, true]);
  const rows = await desk.library.read
    .selectFrom("file")
    .innerJoin("frame", "frame.id", "file.frame_id")
    .select(["frame.name as frame", "file.name", "file.kind", "file.format"])
    .orderBy("file.name")
    .execute();
  assert.deepEqual(
    rows.map(({ frame, name, kind, format }) => `${frame}: ${name} ${kind ?? "picture"} ${format}`),
    [
      "DSC_0001: DSC_0001.JPG picture jpeg",
      "DSC_0002: DSC_0002.JPG picture jpeg",
      "DSC_0002: DSC_0002.WAV sidecar wav",
      "DSC_0002: DSC_0002.XMP sidecar xmp",
      "DSC_0003: DSC_0003.JPG picture jpeg",
      "DSC_0003: DSC_0003.JPG.xmp sidecar xmp",
      "DSC_0004: DSC_0004.MP4 video mp4",
      "DSC_0004: DSC_0004.THM sidecar thm",
      "DSC_0005: DSC_0005.JPG picture jpeg",
    ],
  );
  assert.deepEqual(
    await placings(desk),
    [1, 2, 3, 4, 5].map((nth) => `DSC_000${nth} R-1`),
  );
  assert.equal(summaryOf(await takeAll(desk, [card])).already, 9);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a sidecar that comes later joins the frame of its picture", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), { "a.jpg": { taken: at(1) } });
  await takeAll(desk, [card]);
  await makeCard(card, { "a.wav": SOUND });
  await takeAll(desk, [card]);
  const frames = await desk.library.read.selectFrom("file").select("frame_id").execute();
  assert.equal(frames.length, 2);
  assert.equal(new Set(frames.map(({ frame_id }) => frame_id)).size, 1);
  assert.equal((await placings(desk)).length, 1);
});

test("small pictures are kept with their original and recipe, and the contact sheet's thumbnail is the stored one", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), CARD);
  await takeAll(desk, [card]);
  const rows = await desk.library.read.selectFrom("picture").selectAll().execute();
  assert.equal(rows.length, 8, "two for each of four pictures, none for the video or its small picture");
  for (const row of rows) {
    const body = JSON.parse(row.body) as { sha256: string; use: string };
    assert.equal(await desk.library.derived.rehash(body.sha256), body.sha256);
    const recipe = JSON.parse(row.recipe) as { step: string; parameters: { use: string } };
    assert.deepEqual([recipe.step, recipe.parameters.use], ["picture", body.use]);
  }
  const none = {
    run: () => Promise.reject(new Error("nothing is to be decoded")),
    threads: 0,
    close: async () => {},
  };
  const sheet = await contactSheet(desk, MARA);
  const named = (name: string) => sheet.unplaced.find(({ fileName }) => fileName === name);
  const [label, movie] = [named("DSC_0001.JPG"), named("DSC_0004.MP4")];
  const jpeg = Buffer.from((await thumbnail(desk, MARA, none, label!.sha256, 480)) ?? []);
  assert.match(jpeg.toString(), /^thumbnail of /);
  assert.equal(await thumbnail(desk, MARA, none, movie!.sha256, 480), null);
  await assert.rejects(
    async () => await thumbnail(desk, MARA, none, label!.sha256, 4000),
    /nothing is to be decoded/,
  );
});
