import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import sharp from "sharp";
import { type TrueSizePicture, trueSizePdf, trueSizeSheets } from "../src/pdf/true-size.ts";

const hasPoppler = spawnSync("pdftoppm", ["-v"]).error === undefined;
const skip = hasPoppler ? false : "pdftoppm is not on this machine (Debian package poppler-utils)";
let folder = "";
before(() => {
  folder = mkdtempSync(join(tmpdir(), "samescale-true-size-"));
});
after(() => rmSync(folder, { recursive: true }));

const DPI = 200;
const MM_PER_PX = 25.4 / DPI;
/** What the issue allows; a pixel of the rendering is 0.127 mm. */
const WITHIN_MM = 0.2;

/** Green, with a red bar of known length across and a blue one of known length down, both 6 px thick. */
async function picture(
  pxPerMm: number,
  widthMm: number,
  heightMm: number,
  barMm: number,
): Promise<TrueSizePicture> {
  const [width, height] = [Math.round(widthMm * pxPerMm), Math.round(heightMm * pxPerMm)];
  const bar = Math.round(barMm * pxPerMm);
  const box = (w: number, h: number, background: string) =>
    sharp({ create: { width: w, height: h, channels: 3, background } })
      .png()
      .toBuffer();
  const jpeg = await sharp({ create: { width, height, channels: 3, background: "#80c080" } })
    .composite([
      {
        input: await box(bar, 24, "#ff0000"),
        left: Math.round((width - bar) / 2),
        top: Math.round(height / 2),
      },
      {
        input: await box(24, bar, "#0000ff"),
        left: Math.round(width / 2),
        top: Math.round((height - bar) / 2),
      },
    ])
    .jpeg({ quality: 95, chromaSubsampling: "4:4:4" })
    .toBuffer();
  return {
    jpeg,
    widthPx: width,
    heightPx: height,
    mmPerPx: { value: 1 / pxPerMm, u95: 0.004 / pxPerMm },
    partPx: { x: 0, y: 0, width, height },
    heading: "Close-up · 2026-05-01",
    notes: [],
  };
}

async function rendered(name: string, pictures: readonly TrueSizePicture[]): Promise<string[]> {
  const pdf = join(folder, `${name}.pdf`);
  writeFileSync(
    pdf,
    await trueSizePdf({
      title: "Leg wound",
      subject: "R-101",
      madeAt: new Date("2026-06-01T10:00:00Z"),
      pictures,
    }),
  );
  execFileSync("pdftoppm", ["-r", String(DPI), pdf, join(folder, name)]);
  return execFileSync("ls", [folder], { encoding: "utf8" })
    .split("\n")
    .filter((file) => file.startsWith(`${name}-`) && file.endsWith(".ppm"))
    .map((file) => join(folder, file));
}

/** A page as pdftoppm writes it: a head of three lines, then the pixels. */
function ppm(path: string) {
  const bytes = readFileSync(path);
  const [head, width, height] = /^P6\n(\d+) (\d+)\n255\n/.exec(bytes.toString("latin1", 0, 40))!;
  return { data: bytes.subarray(head.length), width: Number(width), height: Number(height) };
}

/** Extent of what has this colour, across and down, in millimetres of the sheet. */
function extentMm(page: string, is: (r: number, g: number, b: number) => boolean) {
  const { data, width, height } = ppm(page);
  let [left, right, top, bottom] = [Infinity, -1, Infinity, -1];
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at += 3) {
      if (!is(data[at]!, data[at + 1]!, data[at + 2]!)) continue;
      if (x < left) left = x;
      if (x > right) right = x;
      if (y < top) top = y;
      if (y > bottom) bottom = y;
    }
  }
  return { acrossMm: (right - left + 1) * MM_PER_PX, downMm: (bottom - top + 1) * MM_PER_PX };
}
const red = (r: number, g: number, b: number) => r > 200 && g < 100 && b < 100;
const blue = (r: number, g: number, b: number) => b > 200 && r < 100 && g < 100;

test("a known length in the picture comes out of another program's rendering within 0.2 mm, across and down", {
  skip,
}, async () => {
  for (const pxPerMm of [7.3, 16.2719]) {
    const [page] = await rendered(`length-${pxPerMm}`, [await picture(pxPerMm, 140, 96, 80)]);
    const across = extentMm(page!, red);
    const down = extentMm(page!, blue);
    assert.ok(Math.abs(across.acrossMm - 80) < WITHIN_MM, `${across.acrossMm} mm across at ${pxPerMm} px/mm`);
    assert.ok(Math.abs(down.downMm - 80) < WITHIN_MM, `${down.downMm} mm down at ${pxPerMm} px/mm`);
  }
});

test("a part is cut out at the same size, and nothing of the rest is on the sheet", { skip }, async () => {
  const whole = await picture(10, 300, 260, 90);
  const part = { x: 1000, y: 800, width: 1000, height: 1000 };
  const [page, ...more] = await rendered("part", [{ ...whole, partPx: part }]);
  assert.equal(more.length, 0);
  // The bar runs from 105 to 195 mm; the part shows 100 to 200 mm.
  assert.ok(Math.abs(extentMm(page!, red).acrossMm - 90) < WITHIN_MM);
  const green = extentMm(page!, (r, g, b) => g > 180 && r < 150 && b < 150);
  assert.ok(Math.abs(green.acrossMm - 100) < WITHIN_MM, `${green.acrossMm}`);
});

test("what is larger than a sheet goes on several, which show their edges twice", { skip }, async () => {
  const wide = await picture(4, 300, 100, 80);
  assert.equal(trueSizeSheets(300, 100), 2);
  const sheets = await rendered("tiles", [wide]);
  assert.equal(sheets.length, 2);
  const text = execFileSync("pdftotext", ["-layout", join(folder, "tiles.pdf"), "-"], { encoding: "utf8" });
  assert.match(text, /sheet 1 of 2/);
  assert.match(text, /Measure this line: 100 mm/);
  assert.match(text, /± 0\.4 % \(95 %\)/);
  assert.equal(trueSizeSheets(166, 204), 1);
  assert.equal(trueSizeSheets(167, 204), 2);
});

test("the viewer is told not to scale, and hostile words neither break the page nor run over it", {
  skip,
}, async () => {
  const one = { ...(await picture(8, 60, 40, 30)), heading: "\u0007<b>山田</b>", notes: ["x".repeat(3000)] };
  const pdf = await trueSizePdf({
    title: "T".repeat(400),
    subject: "S\n".repeat(50),
    madeAt: new Date(0),
    pictures: [one],
  });
  assert.match(pdf.toString("latin1"), /\/PrintScaling \/None/);
  const path = join(folder, "hostile.pdf");
  writeFileSync(path, pdf);
  assert.match(execFileSync("pdfinfo", [path], { encoding: "utf8" }), /Pages:\s+1\b/);
});
