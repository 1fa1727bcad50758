import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import { crc32 } from "node:zlib";
import sharp from "sharp";

/**
 * Every picture command over the same folder of bad and odd files: one line each in the order given, an answer or an error
 * a person can act on, exit 1, never a stack trace.
 */
const main = resolve(import.meta.dirname, "../src/main.ts");
let folder = "";
let bad: string[] = [];
let odd: string[] = [];
let good = "";

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "samescale-bad-"));
  const at = (name: string) => join(folder, name);
  const noise = Buffer.from(Uint8Array.from({ length: 320 * 240 * 3 }, (_, i) => (i * 2654435761) >>> 24));
  const picture = () => sharp(noise, { raw: { width: 320, height: 240, channels: 3 } });
  const jpeg = await picture().jpeg().toBuffer();
  good = at("good.jpg");
  writeFileSync(good, jpeg);
  mkdirSync(at("folder.jpg"));
  writeFileSync(at("empty.jpg"), "");
  writeFileSync(at("cut.jpg"), jpeg.subarray(0, jpeg.length >> 1));
  writeFileSync(at("text.jpg"), "Dear colleague, the picture is attached.");
  writeFileSync(at("bomb.png"), bombPng(60_000, 60_000));
  bad = ["missing.jpg", "folder.jpg", "empty.jpg", "cut.jpg", "text.jpg", "bomb.png"].map(at);
  if (process.getuid?.() !== 0) {
    writeFileSync(at("locked.jpg"), jpeg);
    chmodSync(at("locked.jpg"), 0);
    bad.push(at("locked.jpg"));
  }
  await sharp({ create: { width: 1, height: 1, channels: 3, background: "#888" } })
    .png()
    .toFile(at("one.png"));
  await picture().toColourspace("cmyk").jpeg().toFile(at("cmyk.jpg"));
  await picture().toColourspace("rgb16").png().toFile(at("sixteen.png"));
  await picture().greyscale().png().toFile(at("grey.png"));
  await picture().png({ palette: true, colours: 8 }).toFile(at("palette.png"));
  await picture().ensureAlpha(0.5).png().toFile(at("alpha.png"));
  for (let orientation = 1; orientation <= 8; orientation++) {
    await picture()
      .withMetadata({ orientation })
      .jpeg()
      .toFile(at(`turned-${orientation}.jpg`));
  }
  await picture()
    .withExif({ IFD0: { Make: "<script>alert(1)</script>\u0007", Model: "x".repeat(5000) } })
    .jpeg()
    .toFile(at("hostile.jpg"));
  mkdirSync(at("twin"));
  writeFileSync(at("name with spaces.jpg"), jpeg);
  writeFileSync(at("two\nlines.jpg"), jpeg);
  writeFileSync(at("-dash.jpg"), jpeg);
  writeFileSync(at("twin/good.jpg"), jpeg);
  odd = [
    "one.png",
    "cmyk.jpg",
    "sixteen.png",
    "grey.png",
    "palette.png",
    "alpha.png",
    "hostile.jpg",
    ...Array.from({ length: 8 }, (_, i) => `turned-${i + 1}.jpg`),
    "name with spaces.jpg",
    "two\nlines.jpg",
    "-dash.jpg",
    "good.jpg",
    "twin/good.jpg",
    "good.jpg",
  ].map(at);
});
after(() => rmSync(folder, { recursive: true }));

/** A few bytes that claim billions of pixels. */
function bombPng(widthPx: number, heightPx: number): Buffer {
  const header = Buffer.alloc(25);
  header.writeUInt32BE(13, 0);
  header.write("IHDR", 4, "latin1");
  header.writeUInt32BE(widthPx, 8);
  header.writeUInt32BE(heightPx, 12);
  header.set([8, 2, 0, 0, 0], 16);
  header.writeUInt32BE(crc32(header.subarray(4, 21)), 21);
  return Buffer.concat([Buffer.from("89504e470d0a1a0a", "hex"), header]);
}

function run(...args: string[]) {
  const result = spawnSync(process.execPath, ["--disable-warning=ExperimentalWarning", main, ...args], {
    encoding: "utf8",
    cwd: folder,
    maxBuffer: 1 << 26,
  });
  assert.doesNotMatch(result.stderr, /^\s+at .*:\d+:\d+/m, "a stack trace");
  const lines = result.stdout.split("\n").filter((line) => line !== "");
  return {
    status: result.status,
    lines: lines.map((line) => JSON.parse(line) as Line),
    stderr: result.stderr,
  };
}

interface Line {
  readonly file?: string;
  readonly followup?: string;
  readonly error?: { readonly code: string; readonly message: string; readonly help: string };
}

function assertActionable(line: Line, about: string): void {
  assert.ok(line.error, about);
  assert.notEqual(line.error.code, "INTERNAL", `${about}: ${line.error.message}`);
  assert.ok(line.error.message.length > 10 && line.error.help.length > 10, about);
}

for (const command of ["info", "label", "scale", "colour"]) {
  test(`${command}: bad files are errors, odd ones are answered, in order, one line each`, () => {
    const files = [...bad, ...odd];
    const { status, lines } = run(command, "--json", ...files);
    assert.equal(status, 1);
    assert.deepEqual(
      lines.map((line) => line.file),
      files,
    );
    for (const [i, line] of lines.entries()) {
      const file = files[i] as string;
      // What a file says of itself stands at its head, which a cut-off file still has.
      if (i < bad.length && !(command === "info" && file.endsWith("cut.jpg"))) assertActionable(line, file);
      else assert.equal(line.error, undefined, `${file}: ${line.error?.message}`);
    }
  });

  test(`${command}: odd files alone end with 0, no file at all with 2`, () => {
    assert.equal(run(command, "--json", ...odd.slice(0, 3)).status, 0);
    assert.equal(run(command, "--json").status, 2);
    assert.equal(run(command, "--no-such-option", good).status, 2);
  });
}

test("outline: every bad file is an error, every odd one is answered", () => {
  for (const file of bad) {
    const { status, lines } = run("outline", file, "--inside", "0.5,0.5", "--json");
    assert.equal(status, 1, file);
    assertActionable(lines[0]!, file);
  }
  for (const file of odd.slice(0, 8)) {
    const { status, lines } = run("outline", file, "--inside", "0.5,0.5", "--json");
    assert.equal(status, 0, file);
    assert.equal(lines[0]!.error, undefined, file);
  }
});

test("measure: bad outlines and scales are told by field, not by a trace", () => {
  const outline = join(folder, "outline.json");
  for (const text of [
    "",
    "{",
    "[]",
    '{"outline": 7}',
    '{"outline": [[1,2],[3,4]]}',
    '{"outline": [[1,2],[3,null],[4,5]]}',
    `[${"[".repeat(5000)}`,
  ]) {
    writeFileSync(outline, text);
    const { status, lines, stderr } = run("measure", good, "--outline", outline, "--json");
    assert.ok(status === 1 || status === 2, `${status} for ${text.slice(0, 40)}`);
    assert.ok(lines[0]?.error ?? /samescale: .{10}/.test(stderr), text.slice(0, 40));
    assert.doesNotMatch(`${stderr}${JSON.stringify(lines)}`, /INTERNAL/, text.slice(0, 40));
  }
  assert.equal(run("measure", good, "--outline", join(folder, "none.json"), "--json").status === 0, false);
});

test("align: bad files on either side are errors; a picture too small is refused with a reason", () => {
  for (const file of bad) {
    for (const pair of [
      [file, good],
      [good, file],
    ]) {
      const { status, lines } = run("align", ...pair, "--json");
      assert.equal(status, 1, pair.join(" "));
      assertActionable(lines[0]!, pair.join(" "));
    }
  }
  const { status, lines } = run("align", good, join(folder, "one.png"), "--json");
  assert.equal(status, 0);
  assert.equal((lines[0] as { aligned?: boolean }).aligned, false);
});
