import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { fileURLToPath } from "node:url";
import bwipjs from "bwip-js/node";
import sharp from "sharp";

const MAIN = fileURLToPath(new URL("../src/main.ts", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "samescale-label-"));
after(() => rmSync(folder, { recursive: true }));

const label = (...args: string[]) =>
  spawnSync(process.execPath, [MAIN, "label", ...args], { encoding: "utf8", cwd: folder });

/** A page with these symbols below one another. */
async function page(
  name: string,
  symbols: readonly (readonly [bcid: string, text: string])[],
): Promise<void> {
  const drawn = await Promise.all(
    symbols.map(async ([bcid, text], i) => ({
      input: await bwipjs.toBuffer({ bcid, text, scale: 4, height: 14 }),
      left: 80,
      top: 80 + 280 * i,
    })),
  );
  await sharp({ create: { width: 900, height: 100 + 280 * symbols.length, channels: 3, background: "#fff" } })
    .composite(drawn)
    .jpeg()
    .toFile(join(folder, name));
}

test("each code is marked as a patient number where it is written like one", async () => {
  await page("label.jpg", [
    ["code128", "943 476 5919"],
    ["qrcode", "SR1:R-17:HN12345"],
    ["gs1datamatrix", "(8018)952012345678912345"],
    ["code128", "GLOVES-L"],
  ]);
  const formats = ["'HN'99999", "999 999 9999:mod11", "999999999999999999:mod10"];
  const options = formats.flatMap((format) => ["--number-format", format]);
  const { status, stdout, stderr } = label("label.jpg", "--json", ...options);
  assert.equal(status, 0, stderr);
  const { codes } = JSON.parse(stdout) as {
    codes: { text: string; gs1: { ai: string; checkDigit: string }[] | null; patientNumber: unknown }[];
  };
  const seen = new Map(codes.map((code) => [code.text, code]));
  const number = (text: string) => seen.get(text)?.patientNumber;
  assert.equal(codes.length, 4);
  const [own, national, recipient] = formats.map((format) => format.split(":")[0]);
  assert.deepEqual(number("943 476 5919"), { format: national, number: "943 476 5919", check: "right" });
  assert.deepEqual(number("SR1:R-17:HN12345"), { format: own, number: "HN12345", check: "none" });
  const gsrn = "952012345678912345";
  assert.deepEqual(number(`8018${gsrn}`), { format: recipient, number: gsrn, check: "right" });
  assert.equal(number("GLOVES-L"), null);
  assert.deepEqual(seen.get(`8018${gsrn}`)?.gs1, [
    { ai: "8018", name: "service relation of the recipient", value: gsrn, checkDigit: "right" },
  ]);

  const people = label("label.jpg", ...options).stdout;
  assert.match(people, /\(8018\) service relation of the recipient: 952012345678912345, check digit right/);
  assert.match(people, /a patient number \('HN'99999\): HN12345/);
});

test("a pattern that is none is refused with an example", () => {
  for (const bad of ["[0-9]+", "9999999999:luhn"]) {
    const { status, stderr } = label("label.jpg", "--number-format", bad);
    assert.equal(status, 2, bad);
    assert.match(stderr, /--number-format .*(expected|Invalid)/s);
  }
});

test("a practice says how its patients' numbers are written", async () => {
  await page("own.jpg", [["code128", "FH204118"]]);
  const practice = fileURLToPath(new URL("../demo-practice", import.meta.url));
  const { stdout, stderr } = label("own.jpg", "--json", "--practice", practice);
  const { codes } = JSON.parse(stdout || stderr);
  assert.deepEqual(codes[0].patientNumber, { format: "hospital number", number: "FH204118", check: "none" });
});
