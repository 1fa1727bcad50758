import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { copyFile, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { SamescaleError } from "@samescale/errors";
import { seededRandom } from "@samescale/geometry";
import exifr from "exifr";
import { colourOfFile } from "../../src/colour/colour-of-file.ts";
import type { ChartFound } from "../../src/colour-answers.ts";
import { sharp } from "../../src/decode/sharp.ts";
import { busy, cellsToPx, draw } from "./drawn-chart.ts";

let folder = "";
let chart = "";
let plain = "";

/** A chart under a warm light, one stop under, in a JPEG with metadata that lies on its side (orientation 6). */
before(async () => {
  folder = await mkdtemp(join(tmpdir(), "samescale-colour-"));
  const random = seededRandom(91);
  const toPx = cellsToPx([
    [110, 80],
    [370, 90],
    [365, 246],
    [106, 236],
  ]);
  const common = { widthPx: 480, heightPx: 340, background: busy, random } as const;
  const picture = draw({
    ...common,
    charts: [{ toPx }],
    camera: ([r, g, b]) => [0.62 * r, 0.5 * g, 0.33 * b],
  });
  const save = async (name: string, rgb: Uint8Array) => {
    const file = join(folder, name);
    await sharp(rgb, { raw: { width: 480, height: 340, channels: 3 } })
      .rotate(-90)
      .withExif({ IFD0: { Orientation: "6", Artist: "Nobody", ImageDescription: "a chart" } })
      .withMetadata({ orientation: 6 })
      .jpeg({ quality: 95, chromaSubsampling: "4:4:4" })
      .toFile(file);
    return file;
  };
  chart = await save("chart.jpg", picture.rgb);
  plain = await save("plain.jpg", draw({ ...common, charts: [] }).rgb);
});
after(async () => await rm(folder, { recursive: true, force: true }));

async function found(file: string, more: object = {}): Promise<ChartFound> {
  const answer = await colourOfFile({ file, ...more });
  assert.ok(answer.found, answer.found ? "" : answer.reason);
  return answer;
}

test("corners are given upright, in the chart's own order", async () => {
  const { corners } = await found(chart);
  const want = [
    [110, 80],
    [370, 90],
    [365, 246],
    [106, 236],
  ] as const;
  for (const [i, [x, y]] of want.entries()) {
    assert.ok(Math.hypot(corners[i]![0] - x, corners[i]![1] - y) < 2.6, `corner ${i}`); // 1/20 of the pitch
  }
});

test("the edition is asked for, and said when it was assumed", async () => {
  const assumed = await found(chart);
  assert.equal(assumed.edition, "after-2014");
  assert.ok(assumed.warnings.some((w) => w.includes("edition was not given")));
  const given = await found(chart, { chartEdition: "before-2014" });
  assert.equal(given.edition, "before-2014");
  assert.ok(!given.warnings.some((w) => w.includes("edition")));
  // the drawing holds the values of the later edition
  assert.ok(given.deltaE00.crossValidated.mean > assumed.deltaE00.crossValidated.mean);
});

test("the corrected picture has the chart's colours, an embedded profile and the original's metadata, upright", async () => {
  const original = await readFile(chart);
  const to = join(folder, "corrected.jpg");
  const answer = await found(chart, { correctedFile: to });
  assert.equal(answer.correctedFile, to);
  assert.ok(answer.deltaE00.before.mean > 8 && answer.deltaE00.crossValidated.mean < 1.5);
  assert.deepEqual(await readFile(chart), original);

  const { width, height, icc, orientation } = await sharp(to).metadata();
  assert.deepEqual([width, height, orientation ?? 1], [480, 340, 1]);
  assert.ok(icc && icc.length > 100);
  const exif = (await exifr.parse(to)) as { Artist?: string; ImageDescription?: string };
  assert.equal(exif.Artist, "Nobody");
  assert.equal(exif.ImageDescription, "a chart");

  // measured again, what was written needs no correction any more
  const again = await found(to);
  assert.ok(again.deltaE00.before.mean < 1.5, `${again.deltaE00.before.mean}`);
  assert.ok(Math.abs(again.exposureStops ?? 9) < 0.1);
  assert.ok(!(await readdir(folder)).some((name) => name.endsWith(".part")));
});

const code = (wanted: string) => (thrown: unknown) =>
  thrown instanceof SamescaleError && thrown.code === wanted;

test("an existing file is never written over, the original least of all; the same bytes again are no fault", async () => {
  const taken = join(folder, "taken.png");
  await writeFile(taken, "kept");
  await assert.rejects(colourOfFile({ file: chart, correctedFile: taken }), code("CORRECTED_EXISTS"));
  assert.equal(await readFile(taken, "utf8"), "kept");
  const copy = join(folder, "copy.jpg");
  await copyFile(chart, copy);
  await assert.rejects(colourOfFile({ file: copy, correctedFile: copy }), code("CORRECTED_EXISTS"));
  assert.deepEqual(await readFile(copy), await readFile(chart));

  const to = join(folder, "twice.png");
  await found(chart, { correctedFile: to });
  const once = await readFile(to);
  await found(chart, { correctedFile: to });
  assert.deepEqual(await readFile(to), once);
});

test("an unknown ending and a missing folder are refused, and nothing is left behind", async () => {
  await assert.rejects(
    colourOfFile({ file: chart, correctedFile: join(folder, "out.gif") }),
    code("CORRECTED_FORMAT"),
  );
  await assert.rejects(
    colourOfFile({ file: chart, correctedFile: join(folder, "nowhere", "out.png") }),
    code("FILE_MISSING"),
  );
  assert.ok(!(await readdir(folder)).some((name) => name.includes("out.")));
});

test("without a chart nothing is written", async () => {
  const to = join(folder, "none.png");
  const answer = await colourOfFile({ file: plain, correctedFile: to });
  assert.equal(answer.found, false);
  assert.equal(existsSync(to), false);
});

const charts = new URL("../../../../../shared/data/colour-charts/", import.meta.url);
const absent = existsSync(charts) ? false : "the photographs (../shared/data/colour-charts) are not here";

test("a photographed chart with published values is corrected to a mean of 2 on patches not seen", {
  skip: absent,
}, async () => {
  const answer = await found(fileURLToPath(new URL("chamber-target.png", charts)));
  assert.ok(answer.deltaE00.crossValidated.mean <= 2); // the project's aim
  const corners = [
    [234.1, 169.8],
    [231.0, 275.6],
    [168.4, 274.0],
    [170.3, 168.6],
  ] as const; // clicked by hand, from the first pixel's centre; pitch 21.2
  for (const [i, [x, y]] of corners.entries()) {
    assert.ok(Math.hypot(answer.corners[i]![0] - x - 0.5, answer.corners[i]![1] - y - 0.5) < 0.35 * 21.2);
  }
});

test("a chart half hidden by a leaf is answered with the hidden patches named", {
  skip: absent,
}, async () => {
  const answer = await found(fileURLToPath(new URL("chart-half-hidden.png", charts)));
  const hidden = answer.patches.filter((p) => p.leftOut !== null).length;
  assert.ok(hidden >= 6 && hidden <= 10);
  assert.ok(answer.warnings.some((w) => w.startsWith("left out as covered")));
});
