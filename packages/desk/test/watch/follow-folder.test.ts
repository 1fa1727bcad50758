import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { appendFile, copyFile, mkdir, open, rename, rm, symlink, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, test } from "node:test";
import { setTimeout as sleep } from "node:timers/promises";
import { followFolder } from "../../src/index.ts";
import { emptyFolder, follow, jpeg, lookOnce, raw, Told } from "./watched.ts";

const isRoot = process.getuid?.() === 0;

// Each test waits for real files: side by side they take as long as the slowest.
describe("following a folder", { concurrency: true }, () => {
  test("what is there is given, and what comes after", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "one.jpg"), jpeg("one"));
    const told = follow(t, folder);
    await told.until("frame a: one.jpg");
    await writeFile(join(folder, "two.jpg"), jpeg("two"));
    await told.until("frame b: two.jpg");
    assert.equal(told.events.length, 2);
  });

  test("a frame has its size, its time, and when it was complete", async (t) => {
    const folder = await emptyFolder(t);
    const told = follow(t, folder);
    await sleep(100);
    const writtenMs = performance.now();
    await writeFile(join(folder, "one.jpg"), jpeg("one"));
    await utimes(join(folder, "one.jpg"), 1_700_000_000, 1_700_000_000);
    await told.until("frame a: one.jpg");
    const gotMs = performance.now();
    const [frame] = told.events;
    assert.ok(frame?.kind === "frame");
    const path = join(folder, "one.jpg");
    assert.equal(frame.judgedFile, path);
    const sizeBytes = jpeg("one").length;
    assert.deepEqual(frame.files, [{ path, sizeBytes, mtimeMs: 1_700_000_000_000, isRaw: false }]);
    // Written, seen at the next look at the latest, still for 200 ms; the rest is what other work leaves.
    assert.ok(frame.completeAtMs >= writtenMs && frame.completeAtMs <= gotMs);
    assert.ok(gotMs - writtenMs < 1500, `${gotMs - writtenMs} ms`);
  });

  test("a file that grows is one frame, when it is whole", async (t) => {
    const folder = await emptyFolder(t);
    const told = follow(t, folder, { pollMs: 50 });
    const whole = jpeg("slow", 40_000);
    const path = join(folder, "slow.jpg");
    await writeFile(path, whole.subarray(0, 10_000));
    for (let at = 10_000; at < whole.length; at += 10_000) {
      // Still for longer than a whole file would have to be.
      await sleep(350);
      assert.deepEqual(told.lines(), []);
      await appendFile(path, whole.subarray(at, at + 10_000));
    }
    await told.until("frame a: slow.jpg");
    assert.deepEqual(told.lines(), ["frame a: slow.jpg"]);
  });

  test("a file given its full size before its content is waited for", async (t) => {
    const folder = await emptyFolder(t);
    const told = follow(t, folder);
    const whole = jpeg("allocated", 5000);
    const handle = await open(join(folder, "a.jpg"), "w");
    await handle.truncate(whole.length);
    await handle.write(whole, 0, 3000, 0);
    await sleep(500);
    assert.deepEqual(told.lines(), []);
    await handle.write(whole, 3000, whole.length - 3000, 3000);
    await handle.close();
    await told.until("frame a: a.jpg");
  });

  test("a file without its end is given when it has been still for longer, and says so", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "cut.jpg"), jpeg("cut", 3000).subarray(0, 2000));
    const told = follow(t, folder);
    await sleep(1000);
    assert.deepEqual(told.lines(), []);
    await told.until("frame a: cut.jpg (no end)");
  });

  test("names of unfinished files are passed over until they are renamed", async (t) => {
    const folder = await emptyFolder(t);
    const names = [
      ".a.jpg",
      "b.jpg.tmp",
      "c.jpg.part",
      "d.jpg.filepart",
      "e.jpg~",
      "~f.jpg",
      "g.JPG.TMP",
      ".h.jpg.Xy12",
    ];
    for (const name of names) await writeFile(join(folder, name), jpeg(name));
    const told = follow(t, folder);
    await sleep(700);
    assert.deepEqual(told.lines(), []);
    await rename(join(folder, "b.jpg.tmp"), join(folder, "b.jpg"));
    await told.until("frame a: b.jpg");
    assert.equal(told.events.length, 1);
  });

  test("an empty file is waited for, and said after a while", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "late.jpg"), "");
    await writeFile(join(folder, "empty.jpg"), "");
    const told = follow(t, folder);
    await sleep(600);
    await writeFile(join(folder, "late.jpg"), jpeg("late"));
    await told.until("frame a: late.jpg");
    await told.until("ignored empty.jpg: It is empty (0 bytes), not a picture");
    assert.equal(told.events.length, 2);
  });

  test("a renamed frame is not given again", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "IMG_1.JPG"), jpeg("leg"));
    const told = follow(t, folder);
    await told.until("frame a: IMG_1.JPG");
    await rename(join(folder, "IMG_1.JPG"), join(folder, "leg left.jpg"));
    await told.until("renamed a: leg left.jpg");
    // Where files have no numbers that stay, a rename looks like a copy and a deletion.
    await copyFile(join(folder, "leg left.jpg"), join(folder, "leg.jpg"));
    await rm(join(folder, "leg left.jpg"));
    await told.until("renamed a: leg.jpg");
    await sleep(900);
    assert.equal(told.events.length, 3);
  });

  test("a copy is not given again, and stands in when the first is deleted", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "a.jpg"), jpeg("leg"));
    const told = follow(t, folder);
    await told.until("frame a: a.jpg");
    await copyFile(join(folder, "a.jpg"), join(folder, "b.jpg"));
    await told.until("ignored b.jpg: It is the same picture as a.jpg");
    await rm(join(folder, "a.jpg"));
    await told.until("renamed a: b.jpg");
    assert.equal(told.events.length, 3);
  });

  test("RAW and JPEG of one exposure are one frame, whichever comes first", async (t) => {
    const folder = await emptyFolder(t);
    const told = follow(t, folder);
    await writeFile(join(folder, "IMG_1.NEF"), raw("leg"));
    await sleep(400);
    await writeFile(join(folder, "IMG_1.JPG"), jpeg("leg"));
    await told.until("frame a: IMG_1.JPG + IMG_1.NEF");
    await writeFile(join(folder, "IMG_2.JPG"), jpeg("hand"));
    await told.until("frame b: IMG_2.JPG");
    await writeFile(join(folder, "img_2.nef"), raw("hand"));
    await told.until("paired b: IMG_2.JPG + img_2.nef");
    const [frame] = told.events;
    assert.ok(frame?.kind === "frame" && frame.judgedFile.endsWith("IMG_1.JPG"));
    await rm(join(folder, "IMG_2.JPG"));
    await told.until("deleted b: img_2.nef");
    await rm(join(folder, "img_2.nef"));
    await told.until("removed b");
    assert.equal(told.events.length, 5);
  });

  test("a RAW alone is given after a short wait, and its late JPEG joins it", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "IMG_1.DNG"), raw("leg"));
    const told = follow(t, folder);
    await told.until("frame a: IMG_1.DNG");
    await writeFile(join(folder, "IMG_1.JPG"), jpeg("leg"));
    await told.until("paired a: IMG_1.JPG + IMG_1.DNG");
    assert.equal(told.events.length, 2);
  });

  test("the same name with another picture is a new frame, and the old one no longer counts", async (t) => {
    const folder = await emptyFolder(t);
    const path = join(folder, "IMG_1.JPG");
    await writeFile(path, jpeg("leg"));
    const told = follow(t, folder);
    await told.until("frame a: IMG_1.JPG");
    await writeFile(path, jpeg("arm")); // of the same size
    await told.until("frame b: IMG_1.JPG");
    // Put in its place in one step: the listing shows no difference.
    await writeFile(join(folder, "new.tmp"), jpeg("hand"));
    await rename(join(folder, "new.tmp"), path);
    await told.until("frame c: IMG_1.JPG");
    assert.deepEqual(told.lines(), [
      "frame a: IMG_1.JPG",
      "removed a",
      "frame b: IMG_1.JPG",
      "removed b",
      "frame c: IMG_1.JPG",
    ]);
    // Written again as it was, or only its time changed: nothing new.
    await writeFile(path, jpeg("hand"));
    await utimes(path, 1, 1);
    await sleep(800);
    assert.equal(told.events.length, 5);
  });

  test("a counter that starts again does not mix old and new pairs", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "IMG_1.JPG"), jpeg("leg"));
    await writeFile(join(folder, "IMG_1.NEF"), raw("leg"));
    const told = follow(t, folder);
    await told.until("frame a: IMG_1.JPG + IMG_1.NEF");
    await writeFile(join(folder, "IMG_1.JPG"), jpeg("hand"));
    await told.until("frame b: IMG_1.JPG");
    await writeFile(join(folder, "IMG_1.NEF"), raw("hand"));
    await told.until("paired b: IMG_1.JPG + IMG_1.NEF");
    assert.deepEqual(told.lines().slice(1), [
      "deleted a: IMG_1.NEF",
      "frame b: IMG_1.JPG",
      "removed a",
      "paired b: IMG_1.JPG + IMG_1.NEF",
    ]);
  });

  test("a deleted frame is removed, and is known when it comes back", async (t) => {
    const folder = await emptyFolder(t);
    const path = join(folder, "a.jpg");
    await writeFile(path, jpeg("leg"));
    const told = follow(t, folder);
    await told.until("frame a: a.jpg");
    await rm(path);
    await told.until("removed a");
    await writeFile(path, jpeg("leg"));
    await told.until("returned a: a.jpg");
    assert.equal(told.events.length, 3);
  });

  test("the folder vanishes and returns: said, and nothing is given twice", async (t) => {
    const folder = join(await emptyFolder(t), "incoming");
    await mkdir(folder);
    await writeFile(join(folder, "a.jpg"), jpeg("leg"));
    const told = follow(t, folder);
    await told.until("frame a: a.jpg");
    await rename(folder, `${folder} away`);
    await told.until(". gone");
    await sleep(900);
    await rename(`${folder} away`, folder);
    await told.until(". back");
    await writeFile(join(folder, "b.jpg"), jpeg("hand"));
    await told.until("frame b: b.jpg");
    assert.deepEqual(told.lines(), ["frame a: a.jpg", ". gone", ". back", "frame b: b.jpg"]);
  });

  test("a share that is taken off leaves an empty folder: gone, not everything deleted", async (t) => {
    const folder = await emptyFolder(t);
    const mount = (...words: string[]) => spawnSync("mount", words).status === 0;
    if (!isRoot || !mount("-t", "tmpfs", "tmpfs", folder)) return t.skip("nothing can be mounted here");
    let isMounted = true;
    const unmount = () => {
      if (isMounted) isMounted = spawnSync("umount", ["-l", folder]).status !== 0;
    };
    try {
      await writeFile(join(folder, "a.jpg"), jpeg("leg"));
      const told = follow(t, folder);
      await told.until("frame a: a.jpg");
      unmount();
      await told.until(". gone");
      await sleep(900);
      assert.deepEqual(told.lines(), ["frame a: a.jpg", ". gone"]);
    } finally {
      unmount();
    }
  });

  test("sub-folders are followed to a depth; links lead nowhere", async (t) => {
    const folder = await emptyFolder(t);
    const outside = await emptyFolder(t);
    await writeFile(join(outside, "other.jpg"), jpeg("other"));
    await mkdir(join(folder, "1/2/3/4/5"), { recursive: true });
    await writeFile(join(folder, "1/2/3/4/five.jpg"), jpeg("five"));
    await writeFile(join(folder, "1/2/3/4/5/six.jpg"), jpeg("six"));
    await symlink(outside, join(folder, "link"));
    await symlink(join(outside, "other.jpg"), join(folder, "link.jpg"));
    await symlink(folder, join(folder, "1/round"));
    spawnSync("mkfifo", [join(folder, "pipe.jpg")]);
    const told = follow(t, folder);
    await told.until("frame a: 1/2/3/4/five.jpg");
    await mkdir(join(folder, "DCIM/100ABCDE"), { recursive: true });
    await writeFile(join(folder, "DCIM/100ABCDE/IMG_1.JPG"), jpeg("one"));
    await told.until("frame b: DCIM/100ABCDE/IMG_1.JPG");
    const ignored = told.lines().filter((line) => line.startsWith("ignored"));
    assert.deepEqual(ignored.filter((line) => !line.includes("pipe")).sort(), [
      "ignored 1/2/3/4/5: Folders are followed 4 deep, this one is deeper",
      "ignored 1/round: It is a link; links are not followed",
      "ignored link.jpg: It is a link; links are not followed",
      "ignored link: It is a link; links are not followed",
    ]);
    await rename(join(folder, "DCIM/100ABCDE"), join(folder, "DCIM/101ABCDE"));
    await told.until("renamed b: DCIM/101ABCDE/IMG_1.JPG");
  });

  test("hostile names are only names", async (t) => {
    const folder = await emptyFolder(t);
    const names = [
      "a\nb.jpg",
      "$(rm x).jpg",
      "%s%n.jpg",
      "wound[1].jpg",
      " .jpg",
      "-rf.jpg",
      `${"x".repeat(250)}.jpg`,
    ];
    for (const name of names) await writeFile(join(folder, name), jpeg(name));
    const notUtf8 = [0xff, 0xfe].map((byte) =>
      Buffer.concat([Buffer.from(`${folder}/`), Buffer.from([byte]), Buffer.from(".jpg")]),
    );
    for (const [i, at] of notUtf8.entries()) await writeFile(at, jpeg(`not ${i}`));
    const frames = (await lookOnce(folder)).filter((line) => line.startsWith("frame"));
    assert.deepEqual(
      frames.map((line) => line.slice(9)).sort(),
      [...names, "\ufffd.jpg", "\ufffd.jpg"].sort(),
    );
  });

  test("what is no picture is said once, also when it is written to again", async (t) => {
    const folder = await emptyFolder(t);
    await writeFile(join(folder, "notes.jpg"), "text");
    await writeFile(join(folder, "film.mov"), Buffer.from("\0\0\0\x14ftypqt  \0\0\0\0", "latin1"));
    await writeFile(join(folder, "Thumbs.db"), "left by a system");
    const told = follow(t, folder);
    await told.until("ignored notes.jpg: It is text, not a picture");
    await told.until("ignored film.mov: It is a video, not a picture");
    await appendFile(join(folder, "notes.jpg"), " and more");
    await writeFile(join(folder, "z.txt"), "text");
    await told.until("ignored z.txt: It is text, not a picture");
    assert.equal(told.events.length, 3);
    await writeFile(join(folder, "notes.jpg"), jpeg("at last"));
    await told.until("frame a: notes.jpg");
  });

  test("500 frames at once: the newest first, each once, and a look stays cheap", async (t) => {
    const folder = await emptyFolder(t);
    for (let n = 0; n < 500; n++) {
      const path = join(folder, `IMG_${n}.JPG`);
      await writeFile(path, jpeg(`${n}`));
      await utimes(path, 1_700_000_000 + n, 1_700_000_000 + n);
    }
    const told = new Told(folder);
    const stop = new AbortController();
    for await (const event of followFolder(folder, { signal: stop.signal })) {
      told.events.push(event);
      if (told.events.length === 500) stop.abort();
    }
    const names = told.events.map((event) => (event.kind === "frame" ? event.judgedFile : ""));
    assert.deepEqual(
      names.slice(0, 3),
      [499, 498, 497].map((n) => join(folder, `IMG_${n}.JPG`)),
    );
    assert.equal(new Set(names).size, 500);
  });

  test("once: all that is there by name, then the end", async (t) => {
    const folder = await emptyFolder(t);
    assert.deepEqual(await lookOnce(folder), []);
    for (const n of [10, 9, 1]) await writeFile(join(folder, `IMG_${n}.JPG`), jpeg(`${n}`));
    await writeFile(join(folder, "IMG_9.CR2"), raw("9"));
    await writeFile(join(folder, "IMG_11.CR2"), raw("11"));
    await writeFile(join(folder, "cut.jpg"), jpeg("cut").subarray(0, 50));
    await writeFile(join(folder, "text.txt"), "text");
    assert.deepEqual(await lookOnce(folder), [
      "frame a: IMG_1.JPG",
      "frame b: IMG_9.JPG + IMG_9.CR2",
      "frame c: IMG_10.JPG",
      "frame d: IMG_11.CR2",
      "frame e: cut.jpg (no end)",
      "ignored text.txt: It is text, not a picture",
    ]);
  });

  test("a folder that is missing, or a file, is refused at the start", async (t) => {
    const folder = await emptyFolder(t);
    await assert.rejects(lookOnce(join(folder, "none")), { code: "FILE_MISSING" });
    await writeFile(join(folder, "a.jpg"), jpeg("a"));
    await assert.rejects(lookOnce(join(folder, "a.jpg")), { code: "WATCH_NOT_A_FOLDER" });
  });
});
