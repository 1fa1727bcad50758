import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { seededRandom } from "@samescale/geometry";
import { type MarkerKind, newScaleId } from "@samescale/marker";
import sharp from "sharp";
import { type MarkerScaleSheets, markerScalePdf } from "../src/index.ts";

// Sizes are taken from the page as another program renders it.
const hasPoppler = spawnSync("pdftoppm", ["-v"]).error === undefined;
const skip = hasPoppler ? false : "pdftoppm is not on this machine (Debian package poppler-utils)";
const DPI = 400;
const MM_PER_PX = 25.4 / DPI;
/** What an issue of this project asks for. */
const TOLERANCE_MM = 0.1;
let folder = "";

before(() => {
  folder = mkdtempSync(join(tmpdir(), "samescale-marker-"));
});
after(() => rmSync(folder, { recursive: true }));

function sheets(kind: MarkerKind, paper: "a4" | "letter", count = 1): MarkerScaleSheets {
  const random = seededRandom(41207);
  const ids = Array.from({ length: count }, () => newScaleId(kind, random));
  const madeAt = new Date("2026-05-04T10:00:00Z");
  return { kind, paper, ids, madeAt, cautions: ["Single use, or wiped by local rules."] };
}

interface Page {
  readonly widthPx: number;
  readonly heightPx: number;
  black(x: number, y: number): boolean;
}

async function firstPage(name: string, wanted: MarkerScaleSheets): Promise<Page> {
  const pdf = join(folder, `${name}.pdf`);
  writeFileSync(pdf, await markerScalePdf(wanted));
  execFileSync("pdftoppm", [
    "-r",
    String(DPI),
    "-l",
    "1",
    "-gray",
    "-singlefile",
    "-png",
    pdf,
    join(folder, name),
  ]);
  const { data, info } = await sharp(join(folder, `${name}.png`))
    .extractChannel(0)
    .raw()
    .toBuffer({ resolveWithObject: true });
  const black = (x: number, y: number) => (data[y * info.width + x] as number) < 96;
  return { widthPx: info.width, heightPx: info.height, black };
}

/** Runs of black along a line of the page, from start to end in px. */
function runs(length: number, black: (i: number) => boolean): [number, number][] {
  const found: [number, number][] = [];
  for (let i = 0; i < length; i++) {
    if (!black(i)) continue;
    const start = i;
    while (i < length && black(i)) i++;
    found.push([start, i]);
  }
  return found;
}

const rowRuns = (page: Page, y: number) => runs(page.widthPx, (x) => page.black(x, y));
const columnRuns = (page: Page, x: number) => runs(page.heightPx, (y) => page.black(x, y));
const longestMm = (lines: readonly [number, number][][]) =>
  Math.max(...lines.flat().map(([from, to]) => to - from)) * MM_PER_PX;
const range = (n: number) => Array.from({ length: n }, (_, i) => i);

/** Middles of the first row of bars of a tick's width, so many and a millimetre apart, that a line of the page crosses. */
function ticksMm(lines: readonly [number, number][][], count: number): number[] {
  for (const line of lines) {
    const thin = line
      .filter(([from, to]) => (to - from) * MM_PER_PX < 0.4)
      .map(([from, to]) => ((from + to) / 2) * MM_PER_PX);
    for (let first = 0; first + count <= thin.length; first++) {
      const row = thin.slice(first, first + count);
      if (row.every((mm, i) => i === 0 || Math.abs(mm - row[i - 1]! - 1) < 0.3)) return row;
    }
  }
  return [];
}

for (const paper of ["a4", "letter"] as const) {
  test(`${paper}: both check lines measure 100 mm, along and across the page`, { skip }, async () => {
    const page = await firstPage(`check-${paper}`, sheets("straight-50", paper));
    const across = longestMm(range(page.heightPx).map((y) => rowRuns(page, y)));
    const along = longestMm(range(page.widthPx).map((x) => columnRuns(page, x)));
    // A line's end strokes, 0.09 mm wide, stand astride of its ends.
    assert.ok(Math.abs(across - 100) < TOLERANCE_MM, `${across} mm across`);
    assert.ok(Math.abs(along - 100) < TOLERANCE_MM, `${along} mm along`);
    const wanted = paper === "a4" ? [210, 297] : [215.9, 279.4];
    assert.ok(Math.abs(page.widthPx * MM_PER_PX - wanted[0]!) < 0.1);
    assert.ok(Math.abs(page.heightPx * MM_PER_PX - wanted[1]!) < 0.1);
  });
}

for (const [kind, across, along] of [
  ["straight-50", 50, 0],
  ["straight-150", 150, 0],
  ["l", 90, 60],
  ["label", 20, 0],
] as const) {
  test(`${kind}: every graduation lies where it should, to 0.1 mm`, { skip }, async () => {
    const page = await firstPage(kind, sheets(kind, "a4"));
    const legs = [
      ticksMm(
        range(page.heightPx).map((y) => rowRuns(page, y)),
        across + 1,
      ),
    ];
    if (along > 0)
      legs.push(
        ticksMm(
          range(page.widthPx).map((x) => columnRuns(page, x)),
          along + 1,
        ),
      );
    for (const leg of legs) {
      assert.ok(leg.length > 0, "no row of graduations was found on the page");
      leg.forEach((mm, i) => {
        assert.ok(Math.abs(mm - leg[0]! - i) < TOLERANCE_MM, `tick ${i} at ${mm - leg[0]!} mm`);
      });
    }
  });
}

test("every page says what to do, with the ids of its own scales", { skip }, async () => {
  const wanted = sheets("straight-50", "a4", 30);
  const pdf = join(folder, "many.pdf");
  writeFileSync(pdf, await markerScalePdf(wanted));
  const pages = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" })
    .split("\f")
    .slice(0, -1);
  assert.ok(pages.length > 1);
  const seen = new Set<string>();
  for (const text of pages) {
    for (const words of [
      /actual size \(100 %\)/,
      /Measure both check lines/,
      /calibrate-scale/,
      /Single use/,
    ])
      assert.match(text, words);
    for (const id of wanted.ids) {
      const times = text.split(id).length - 1;
      assert.ok(times === 0 || times === 2, `${id} stands ${times} times: on the scale and in the command`);
      if (times > 0) seen.add(id);
    }
  }
  assert.equal(seen.size, new Set(wanted.ids).size);
});

test("a sheet of labels has one id; so many ids, so many sheets", { skip }, async () => {
  const wanted = sheets("label", "letter", 3);
  const pdf = join(folder, "labels.pdf");
  writeFileSync(pdf, await markerScalePdf(wanted));
  assert.match(execFileSync("pdfinfo", [pdf], { encoding: "utf8" }), /Pages:\s+3\n/);
  const text = execFileSync("pdftotext", ["-f", "2", "-l", "2", pdf, "-"], { encoding: "utf8" });
  assert.ok(text.split(wanted.ids[1]!).length > 20);
  assert.equal(text.split(wanted.ids[0]!).length, 1);
});

test("the viewer is told not to scale the page, and the same sheet gives the same bytes", async () => {
  const [one, two] = [await markerScalePdf(sheets("l", "a4")), await markerScalePdf(sheets("l", "a4"))];
  assert.match(one.toString("latin1"), /\/PrintScaling \/None/);
  assert.ok(one.equals(two));
});
