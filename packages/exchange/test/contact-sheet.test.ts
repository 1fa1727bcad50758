import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import sharp from "sharp";
import { contactSheetPdf } from "../src/pdf/contact-sheet.ts";

const hasPoppler = spawnSync("pdftoppm", ["-v"]).error === undefined;

test("thirteen frames take two pages, each under its name; what is not shown leaves an empty place and a reason", {
  skip: hasPoppler ? false : "pdftoppm is not on this machine (Debian package poppler-utils)",
}, async (t) => {
  const folder = mkdtempSync(join(tmpdir(), "samescale-contact-"));
  t.after(() => rmSync(folder, { recursive: true }));
  const jpeg = await sharp({ create: { width: 900, height: 600, channels: 3, background: "#ff0000" } })
    .jpeg()
    .toBuffer();
  const frames = Array.from({ length: 13 }, (_, i) => ({
    jpeg: i === 2 ? null : jpeg,
    name: i === 5 ? `=\u0000<i>${"long ".repeat(40)}` : `View ${i + 1}`,
    note: i === 2 ? "not shown" : "2026-05-01",
  }));
  const pdf = join(folder, "sheet.pdf");
  writeFileSync(pdf, await contactSheetPdf({ title: "Leg", subject: "A7K2", madeAt: new Date(0), frames }));
  const pages = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).split("\f");
  assert.equal(pages.length - 1, 2);
  assert.match(pages[0]!, /View 1 .*View 2 .*View 3/);
  assert.match(pages[0]!, /not shown/);
  assert.match(pages[1]!, /View 13/);
  execFileSync("pdftoppm", ["-r", "20", "-png", pdf, join(folder, "sheet")]);
  const { data, info } = await sharp(join(folder, "sheet-1.png"))
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const at = (xMm: number, yMm: number) => {
    const [x, y] = [Math.round((xMm * 20) / 25.4), Math.round((yMm * 20) / 25.4)];
    return [...data.subarray((y * info.width + x) * 3, (y * info.width + x) * 3 + 3)];
  };
  const [shown, empty] = [at(44, 49), at(166, 49)];
  assert.ok(shown[0]! > 240 && shown[1]! < 30, String(shown));
  assert.ok(empty[1]! > 200, String(empty));
});
