import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import sharp from "sharp";
import { type SeriesReport, seriesReportPdf } from "../src/index.ts";

const hasPoppler = spawnSync("pdftoppm", ["-v"]).error === undefined;
const skip = hasPoppler ? false : "pdftoppm is not on this machine (Debian package poppler-utils)";
let folder = "";

before(() => {
  folder = mkdtempSync(join(tmpdir(), "samescale-pdf-"));
});
after(() => rmSync(folder, { recursive: true }));

async function report(visits: number): Promise<SeriesReport> {
  const jpeg = await sharp({ create: { width: 400, height: 300, channels: 3, background: "#b08070" } })
    .jpeg()
    .toBuffer();
  return {
    department: "Medical Photography, an invented infirmary",
    title: "Leg wound, left shin",
    viewName: "Close-up",
    requestCode: "RQ-0001",
    madeAt: new Date("2026-05-04T10:00:00Z"),
    windowMm: { width: 80, height: 60 },
    visits: Array.from({ length: visits }, (_, i) => ({
      dateIso: `2026-0${1 + i}-15`,
      heading: i === 0 ? "baseline" : `visit ${i + 1}`,
      jpeg,
      outlinesMm: [
        [
          [20, 20],
          [50, 18],
          [55, 40],
          [30, 45],
        ] as const,
      ],
      areaMm2: { value: 500 - 90 * i, u95: 12 + i },
      lengthMm: { value: 31 - i, u95: 0.4 },
      widthMm: { value: 22 - i, u95: 0.4 },
      perimeterMm: { value: 90 - i, u95: 2 },
      ratioRead: { value: 0.25, u95: 0.001 },
      notes: ["scale 12 mm above the skin"],
    })),
    method: ["By the plane of the scale."],
    background: ["Others found 27 % (Rogers 2010)."],
    cautions: ["Not a diagnostic device."],
    originals: [{ file: "VC010001.JPG", sha256: "ab".repeat(32) }],
  };
}

/** Runs of black along the row with the longest one: the check line. */
async function longestBlackRunPx(png: string): Promise<number> {
  const { data, info } = await sharp(png).greyscale().raw().toBuffer({ resolveWithObject: true });
  let longest = 0;
  for (let y = Math.floor(info.height * 0.88); y < info.height * 0.95; y++) {
    let run = 0;
    for (let x = 0; x < info.width; x++) {
      run = (data[y * info.width + x] as number) < 128 ? run + 1 : 0;
      if (run > longest) longest = run;
    }
  }
  return longest;
}

test("the 100 mm line measures 100 mm after rendering by another program", { skip }, async () => {
  const pdf = join(folder, "line.pdf");
  writeFileSync(pdf, await seriesReportPdf(await report(2)));
  execFileSync("pdftoppm", ["-r", "600", "-f", "1", "-l", "1", "-png", pdf, join(folder, "line")]);
  const lengthMm = ((await longestBlackRunPx(join(folder, "line-1.png"))) / 600) * 25.4;
  const TWO_PIXELS_MM = 0.085; // one pixel at 600 dpi is 0.042 mm, and each end may fall inside one
  assert.ok(Math.abs(lengthMm - 100) <= TWO_PIXELS_MM, `${lengthMm} mm`);
});

test("every page carries its number, the request's code and the date", { skip }, async () => {
  const pdf = join(folder, "pages.pdf");
  writeFileSync(pdf, await seriesReportPdf(await report(7)));
  const pages = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" })
    .split("\f")
    .slice(0, -1);
  assert.ok(pages.length >= 2);
  pages.forEach((text, i) => {
    assert.match(text, new RegExp(`page ${i + 1} of ${pages.length}`));
    assert.match(text, /RQ-0001 · 2026-05-04/);
  });
  assert.match(pages.join("\n"), /500 ± 12 mm²/);
});

test("four pictures with long captions share one page, and no caption runs into the next picture", {
  skip,
}, async () => {
  const pdf = join(folder, "captions.pdf");
  const long = "The skin moved against the scale, so that the two answers to the same ratio differ. ".repeat(
    3,
  );
  const four = await report(4);
  const visits = four.visits.map((visit, i) => ({ ...visit, notes: i === 1 ? [long] : visit.notes }));
  writeFileSync(pdf, await seriesReportPdf({ ...four, windowMm: { width: 60, height: 45 }, visits }));
  const boxes = execFileSync("pdftotext", ["-bbox-layout", "-l", "1", pdf, "-"], { encoding: "utf8" });
  const pages = execFileSync("pdfinfo", [pdf], { encoding: "utf8" }).match(/Pages:\s+(\d+)/)?.[1];
  assert.equal(pages, "2");
  const top = (word: string) => Number(boxes.match(new RegExp(`yMin="([0-9.]+)"[^>]*>${word}<`))?.[1]);
  const lastOfCaption = Math.max(
    ...[...boxes.matchAll(/yMax="([0-9.]+)">differ\.</g)].map((m) => Number(m[1])),
  );
  const PICTURE_POINTS = (45 / 1) * (72 / 25.4);
  assert.ok(
    top("2026-03-15") - PICTURE_POINTS > lastOfCaption,
    "the third picture begins below the second's caption",
  );
});

test("the viewer is told not to scale the page, and the same report gives the same bytes", async () => {
  const [one, two] = [await seriesReportPdf(await report(2)), await seriesReportPdf(await report(2))];
  assert.match(one.toString("latin1"), /\/PrintScaling \/None/);
  assert.ok(one.equals(two));
});

test("change is said in numbers and in words, and only where it is larger than the uncertainty", {
  skip,
}, async () => {
  const textOf = async (name: string, changed: SeriesReport) => {
    const pdf = join(folder, `${name}.pdf`);
    writeFileSync(pdf, await seriesReportPdf(changed));
    return execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).replace(/\s+/g, " ");
  };
  const shrinking = await report(3);
  const text = await textOf("shrinking", shrinking);
  // 500 to 320 mm² over the mean perimeter of 90 and 88 mm in 59 days: 2.02 mm, 0.24 mm a week. @source Gilman1990
  assert.match(text, /From 2026-01-15 to 2026-03-15 the area became smaller \(−36 ± 3 %\)/);
  assert.match(text, /the edge moved inwards by 2\.0 ± 0\.2 mm/);
  assert.match(text, /From 2026-02-15 to 2026-03-15/);
  const visits = shrinking.visits.map((v) => ({ ...v, areaMm2: { value: v.areaMm2!.value, u95: 400 } }));
  assert.match(await textOf("unsure", { ...shrinking, visits }), /neither larger nor smaller can be said/);
  const gap = shrinking.visits.map((v, i) => (i === 1 ? { ...v, areaMm2: null } : v));
  const withGap = await textOf("gap", { ...shrinking, visits: gap });
  assert.match(withGap, /2026-02-15 1:4\.00 not measured/);
  const missed = shrinking.visits.map((v, i) =>
    i === 1 ? { ...v, heading: "gap", jpeg: null, areaMm2: null, ratioRead: null, notes: ["not made"] } : v,
  );
  const withMissed = await textOf("missed", { ...shrinking, visits: missed });
  assert.match(withMissed, /2026-02-15 gap/);
  assert.match(withMissed, /2026-02-15 no picture/);
  assert.doesNotMatch(withGap, /From 2026-02-15/);
});
