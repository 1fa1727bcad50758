import assert from "node:assert/strict";
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { after, test } from "node:test";
import { crc32, deflateSync } from "node:zlib";

const main = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-photographs-"));
after(() => rmSync(folder, { recursive: true }));

/** A grey PNG large enough that reading it takes a moment. */
function greyPng(widthPx: number, heightPx: number): Buffer {
  const chunk = (name: string, data: Buffer) => {
    const out = Buffer.alloc(12 + data.length);
    out.writeUInt32BE(data.length, 0);
    out.write(name, 4, "latin1");
    data.copy(out, 8);
    out.writeUInt32BE(crc32(out.subarray(4, 8 + data.length)), 8 + data.length);
    return out;
  };
  const header = Buffer.alloc(13);
  header.writeUInt32BE(widthPx, 0);
  header.writeUInt32BE(heightPx, 4);
  header.set([8, 0, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from("89504e470d0a1a0a", "hex"),
    chunk("IHDR", header),
    chunk("IDAT", deflateSync(Buffer.alloc((widthPx + 1) * heightPx, 0x60))),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

const photo = join(folder, "photo.png");
writeFileSync(photo, greyPng(2400, 1800));

function start(...args: string[]): ChildProcess & { said: () => string } {
  const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", main, ...args], {
    cwd: folder,
  });
  let said = "";
  child.stderr?.on("data", (text) => {
    said += text;
  });
  return Object.assign(child, { said: () => said });
}

for (const [signal, status] of [
  ["SIGINT", 130],
  ["SIGTERM", 143],
] as const) {
  test(`${signal} in the middle of many photographs ends at once with ${status}, after whole lines`, async () => {
    const child = start("label", "--json", ...Array<string>(300).fill(photo));
    const lines: string[] = [];
    let asked = 0;
    createInterface({ input: child.stdout! }).on("line", (line) => {
      lines.push(line);
      if (lines.length === 3) {
        asked = performance.now();
        child.kill(signal);
      }
    });
    const [code] = await once(child, "close");
    assert.equal(code, status);
    assert.equal(child.said(), "");
    assert.ok(lines.length >= 3 && lines.length < 300, `${lines.length} lines`);
    for (const line of lines) assert.equal(JSON.parse(line).file, photo);
    // A machine under load needs its time; 300 photographs would need much more.
    assert.ok(performance.now() - asked < 10_000);
  });
}

test("a reader that stops early ends the work quietly with 0", async () => {
  const child = start("info", "--json", ...Array<string>(300).fill(photo));
  await once(child.stdout!, "data");
  child.stdout!.destroy();
  const [code] = await once(child, "close");
  assert.deepEqual([code, child.said()], [0, ""]);
});

test("many photographs are answered in order, whichever is ready first", async () => {
  const small = join(folder, "small.png");
  writeFileSync(small, greyPng(8, 8));
  const names = Array.from({ length: 24 }, (_, i) =>
    i % 3 === 0 ? photo : i % 3 === 1 ? small : `no-${i}.jpg`,
  );
  const child = start("info", "--json", ...names);
  const lines: string[] = [];
  createInterface({ input: child.stdout! }).on("line", (line) => lines.push(line));
  const [code] = await once(child, "close");
  assert.equal(code, 1);
  assert.deepEqual(
    lines.map((line) => JSON.parse(line).file),
    names,
  );
  assert.ok(lines.every((line, i) => "error" in JSON.parse(line) === (i % 3 === 2)));
});
