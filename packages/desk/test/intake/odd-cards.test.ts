import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import {
  chmod,
  mkdir,
  readdir,
  readFile,
  rename,
  rm,
  stat,
  symlink,
  truncate,
  utimes,
  writeFile,
} from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import { openDesk, type TakeInProgress } from "../../src/index.ts";
import {
  addTwoRequests,
  faultsOf,
  freshDesk,
  LEG_LABEL,
  madeUpFile,
  madeUpPictures,
  makeCard,
  placings,
  statesOf,
  summaryOf,
  takeAll,
  temporaryFolder,
} from "../support.ts";
import { at, MORNING } from "./morning.ts";

test("what is no picture is said to be what it is, and stays on the card", async (t) => {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  const card = await makeCard(join(folder, "card"), {
    "DCIM/A.JPG": "this is text, not a picture",
    "DCIM/B.JPG": "",
    "DCIM/C.MOV": Buffer.from("\0\0\0\x14ftypqt  \0\0\0\0", "latin1"),
    "DCIM/D.WAV": Buffer.from("RIFF\0\0\0\0WAVEfmt ", "latin1"),
    ".hidden.jpg": { taken: at(1) },
    ".Trashes/501/D.JPG": { taken: at(1) },
    "Thumbs.db": "x",
    "._E.JPG": Buffer.from("00051607", "hex"),
  });
  await symlink("/etc/passwd", join(card, "DCIM/link.jpg"));
  await symlink("/etc", join(card, "DCIM/folder-link"));
  const pipe = spawnSync("mkfifo", [join(card, "DCIM/pipe.jpg")]).status === 0;
  const lines = await takeAll(desk, [card]);
  const reasons = new Map(
    lines.flatMap((line) => ("state" in line ? [[line.file.slice(card.length + 1), line.reason]] : [])),
  );
  const kept = lines.flatMap((line) => ("state" in line && line.sha256 !== null ? [line] : []));
  assert.deepEqual(
    kept.map(({ file, kind, state }) => [file.slice(card.length + 1), kind, state]),
    [["DCIM/C.MOV", "video", "stored"]],
  );
  assert.deepEqual(
    [...reasons].filter(([path]) => path !== "DCIM/pipe.jpg"),
    [
      [".Trashes/501/D.JPG", "An operating system left it there"],
      ["._E.JPG", "An operating system left it there"],
      [".hidden.jpg", "It is hidden or lies in a hidden folder"],
      ["DCIM/A.JPG", "It is text, not a picture"],
      ["DCIM/B.JPG", "It is empty (0 bytes), not a picture"],
      ["DCIM/C.MOV", null],
      ["DCIM/D.WAV", "It is a sound recording, not a picture"],
      ["DCIM/folder-link", "It is a link; links on a card are not followed"],
      ["DCIM/link.jpg", "It is a link; links on a card are not followed"],
      ["Thumbs.db", "An operating system left it there"],
    ],
  );
  if (pipe) assert.equal(reasons.get("DCIM/pipe.jpg"), "It is a device or a pipe");
  assert.equal(summaryOf(lines).cardMayBeErased, false);
  assert.deepEqual(await faultsOf(desk), []);
});

test("what only an operating system left does not keep a card from being erased", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "a.jpg": { taken: at(1) },
    ".DS_Store": "x",
  });
  assert.equal(summaryOf(await takeAll(desk, [card])).cardMayBeErased, true);
});

test("names with spaces, newlines, dashes, markup, and bytes that are no UTF-8 come in like any other", async (t) => {
  const desk = await freshDesk(t);
  const card = join(await temporaryFolder(t), "card");
  const names = [
    "-rf.jpg",
    " spaces  .jpg",
    "new\nline.jpg",
    "<img src=x>.jpg",
    "ünï.jpg",
    "'; drop table file; --.jpg",
  ];
  await makeCard(card, Object.fromEntries(names.map((name, minute) => [name, { taken: at(minute) }])));
  const raw = [Buffer.from("latin-\xe4.jpg", "latin1"), Buffer.from("latin-\xf6.jpg", "latin1")];
  for (const [nth, name] of raw.entries()) {
    await writeFile(Buffer.concat([Buffer.from(`${card}/`), name]), madeUpFile({ taken: at(30 + nth) }));
  }
  const lines = await takeAll(desk, [card]);
  assert.equal(summaryOf(lines).stored, names.length + 2);
  assert.equal(summaryOf(lines).cardMayBeErased, true);
  const shown = lines.flatMap((line) => ("state" in line ? [line.file.slice(card.length + 1)] : []));
  assert.deepEqual([...shown].sort(), [...names, "latin-\ufffde4.jpg", "latin-\ufffdf6.jpg"].sort());
  assert.deepEqual(
    statesOf(await takeAll(desk, [card]), card),
    shown.map((name) => `${name} already`),
  );
  assert.deepEqual(await faultsOf(desk), []);
});

test("a picture that cannot be decoded is kept, flagged, and nothing behind it is placed", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DSC_0001.JPG": { taken: at(0), codes: [LEG_LABEL] },
    "DSC_0002.JPG": madeUpFile({ taken: at(1) }).subarray(0, 50),
    "DSC_0003.JPG": { taken: at(2) },
  });
  assert.equal(summaryOf(await takeAll(desk, [card])).stored, 3);
  assert.deepEqual(await placings(desk), ["DSC_0001 R-1", "DSC_0002 -", "DSC_0003 -"]);
  const frame = await desk.library.read
    .selectFrom("frame")
    .selectAll()
    .where("name", "=", "DSC_0002")
    .executeTakeFirstOrThrow();
  assert.deepEqual(JSON.parse(frame.flags), [
    "The file does not say when it was taken",
    "Not made up: DSC_0002.JPG",
  ]);
  assert.equal(frame.codes, null);
});

test("clocks that are nonsense keep their frames, flagged, and date no visit", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "DSC_0001.JPG": { taken: "2099:01:01 00:00:00", codes: [LEG_LABEL] },
    "DSC_0002.JPG": { taken: "0000:00:00 00:00:00" },
    "DSC_0003.JPG": { taken: null },
  });
  assert.equal(summaryOf(await takeAll(desk, [card])).placed, 3);
  const frames = await desk.library.read.selectFrom("frame").selectAll().orderBy("position").execute();
  assert.deepEqual(
    frames.map((frame) => [frame.clock, frame.taken_raw]),
    [
      ["future", "2099:01:01 00:00:00"],
      ["impossible", "0000:00:00 00:00:00"],
      ["none", null],
    ],
  );
  assert.ok(frames.every((frame) => (JSON.parse(frame.flags) as string[]).length === 1));
  const visits = await desk.library.read.selectFrom("visit").select("date").execute();
  assert.deepEqual(
    visits.map((visit) => visit.date),
    [null],
  );
});

test("files and folders that may not be read are named, the rest comes in, and the card must not be erased", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "a.jpg": { taken: at(1) },
    "b.jpg": { taken: at(2) },
    "closed/c.jpg": { taken: at(3) },
  });
  // Root may read everything; a file that is gone by the time it is opened fails the same way.
  if (process.getuid?.() !== 0) {
    await chmod(join(card, "b.jpg"), 0);
    await chmod(join(card, "closed"), 0);
  }
  const pictures = madeUpPictures;
  const lines = await takeAll(desk, [card], {
    pictures,
    onProgress: async () => {
      if (process.getuid?.() === 0) await rm(join(card, "b.jpg"), { force: true });
    },
  });
  await chmod(join(card, "closed"), 0o755);
  const b = lines.find((line) => "state" in line && line.file.endsWith("b.jpg")) as unknown as {
    state: string;
    error: { code: string };
  };
  assert.equal(b.state, "unreadable");
  assert.match(b.error.code, /FILE_NOT_PERMITTED|FILE_MISSING/);
  assert.equal(summaryOf(lines).cardMayBeErased, false);
  assert.equal(summaryOf(lines).unreadable >= 1, true);
});

test("a file that could not be read comes in when it can be, with a second intake", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "a.jpg": { taken: at(1) },
    "b.jpg": { taken: at(2) },
  });
  let gone = false;
  await takeAll(desk, [card], {
    onProgress: () => {
      if (!gone) spawnSync("mv", [join(card, "b.jpg"), join(card, "../b.jpg")]);
      gone = true;
    },
  });
  await rename(join(card, "../b.jpg"), join(card, "b.jpg"));
  const lines = await takeAll(desk, [card]);
  assert.deepEqual(statesOf(lines, card), ["a.jpg already", "b.jpg stored"]);
  assert.equal(summaryOf(lines).cardMayBeErased, true);
  assert.deepEqual(await faultsOf(desk), []);
});

test("a file that changes while it is read is not taken for whole", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "a.jpg": { taken: at(1), padding: 3 << 20 },
  });
  let cut = false;
  const lines = await takeAll(desk, [card], {
    onProgress: () => {
      if (!cut) spawnSync("truncate", ["-s", "100", join(card, "a.jpg")]);
      cut = true;
    },
  });
  assert.equal((lines[0] as { error: { code: string } }).error.code, "CARD_FILE_CHANGED");
  assert.deepEqual(await faultsOf(desk), []);
});

test("the library's own damaged copy is named, and the card with the good one must not be erased", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), {
    "a.jpg": { taken: at(1) },
    "b.jpg": { taken: at(2) },
  });
  const [first] = await takeAll(desk, [card]);
  const path = await desk.library.originals.localFile((first as { sha256: string }).sha256);
  await chmod(path, 0o644);
  await truncate(path, 10);
  const lines = await takeAll(desk, [card]);
  assert.deepEqual(statesOf(lines, card), ["a.jpg unreadable", "b.jpg already"]);
  assert.equal((lines[0] as { error: { code: string } }).error.code, "ORIGINAL_DAMAGED");
  assert.equal(summaryOf(lines).cardMayBeErased, false);
});

test("a card inside the library, or around it, is refused before anything is read", async (t) => {
  const desk = await freshDesk(t);
  for (const card of [
    join(desk.library.folder, "originals"),
    join(desk.library.folder, ".."),
    desk.library.folder,
  ]) {
    const lines = await takeAll(desk, [card]);
    assert.equal((lines[0] as { error: { code: string } }).error.code, "CARD_AND_LIBRARY_MIXED");
    assert.equal(summaryOf(lines).cardMayBeErased, false);
  }
});

test("an empty card, a file for a card", async (t) => {
  const desk = await freshDesk(t);
  const folder = await temporaryFolder(t);
  await mkdir(join(folder, "empty"));
  await writeFile(join(folder, "file"), "x");
  assert.deepEqual(
    summaryOf(await takeAll(desk, [join(folder, "empty")])).why,
    "No picture was found: is this the right folder?",
  );
  const [fault] = await takeAll(desk, [join(folder, "file")]);
  assert.equal((fault as { error: { code: string } }).error.code, "FILE_MISSING");
});

test("the card is only read: names, bytes and times are as before", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  const day = new Date("2026-03-15T09:00:00Z");
  const look = async () =>
    Promise.all(
      (await readdir(card, { recursive: true, withFileTypes: true }))
        .filter((entry) => entry.isFile())
        .map(async (entry) => {
          const path = join(entry.parentPath, entry.name);
          const found = await stat(path);
          return [path, found.mtimeMs, found.ctimeMs, found.mode, (await readFile(path)).toString("hex")];
        }),
    );
  for (const path of Object.keys(MORNING)) await utimes(join(card, path), day, day);
  const before = await look();
  await takeAll(desk, [card]);
  assert.deepEqual(await look(), before);
});

test("stopped in the middle it throws, leaves nothing half-written, and goes on later", async (t) => {
  const desk = await freshDesk(t);
  await addTwoRequests(desk);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  const stop = new AbortController();
  let files = 0;
  const stopped = takeAll(desk, [card], {
    signal: stop.signal,
    onProgress: (progress: TakeInProgress) => {
      files = progress.files;
      if (progress.files === 3) stop.abort();
    },
  });
  await assert.rejects(stopped, { name: "AbortError" });
  assert.equal(files, 3);
  assert.deepEqual(await readdir(join(desk.library.folder, "originals/incoming")), []);
  assert.deepEqual(await faultsOf(desk), []);
  const lines = await takeAll(desk, [card]);
  assert.deepEqual([summaryOf(lines).already, summaryOf(lines).stored], [3, 3]);
  assert.equal((await desk.library.read.selectFrom("intake").select("id").execute()).length, 1);
  assert.equal((await placings(desk)).length, 5);
});

test("an unfinished intake is not gone on with when another card lies at its path", async (t) => {
  const desk = await freshDesk(t);
  const card = await makeCard(join(await temporaryFolder(t), "card"), MORNING);
  const stop = new AbortController();
  const stopped = takeAll(desk, [card], {
    signal: stop.signal,
    onProgress: (progress) => progress.files === 2 && stop.abort(),
  });
  await assert.rejects(stopped, { name: "AbortError" });
  await rm(card, { recursive: true });
  await makeCard(card, { "IMG_0001.JPG": { taken: at(50) } });
  await takeAll(desk, [card]);
  const intakes = await desk.library.read.selectFrom("intake").selectAll().orderBy("begun_at").execute();
  assert.deepEqual(
    intakes.map((intake) => [intake.abandoned_because !== null, intake.finished_at !== null]).sort(),
    [
      [false, true],
      [true, false],
    ],
  );
  assert.deepEqual(await faultsOf(desk), []);
});

test("a full disk is said to be full, nothing is lost, and the same command goes on once there is room", async (t) => {
  const folder = await temporaryFolder(t);
  const disk = join(folder, "disk");
  await mkdir(disk);
  if (spawnSync("mount", ["-t", "tmpfs", "-o", "size=6m", "tmpfs", disk]).status !== 0) {
    return t.skip("mounting a small disk needs root");
  }
  try {
    const desk = await openDesk(join(disk, "library"));
    await addTwoRequests(desk);
    const padding = 900_000;
    const names = Array.from({ length: 8 }, (_, nth) => `DSC_000${nth + 1}.JPG`);
    const shots = names.map((name, nth) => [
      name,
      { taken: at(nth), padding, codes: nth === 0 ? [LEG_LABEL] : [] },
    ]);
    const card = await makeCard(join(folder, "card"), Object.fromEntries(shots));
    const lines = await takeAll(desk, [card]);
    const fault = lines.at(-2) as { error: { code: string } };
    assert.equal(fault.error.code, "DISK_FULL");
    assert.equal(summaryOf(lines).cardMayBeErased, false);
    assert.match(summaryOf(lines).why, /Stopped at DSC_000\d\.JPG: The disk is full/);
    assert.deepEqual(await readdir(join(desk.library.folder, "originals/incoming")), []);
    assert.equal(spawnSync("mount", ["-o", "remount,size=30m", disk]).status, 0);
    assert.deepEqual(await faultsOf(desk), []);
    const on = await takeAll(desk, [card]);
    assert.equal(summaryOf(on).stored + summaryOf(on).already, 8);
    assert.equal(summaryOf(on).cardMayBeErased, true);
    assert.deepEqual(
      await placings(desk),
      names.map((name) => `${name.slice(0, -4)} R-1`),
    );
    assert.deepEqual(await faultsOf(desk), []);
    await desk.close();
  } finally {
    spawnSync("umount", [disk]);
  }
});
