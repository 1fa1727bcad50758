import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { after, before, test } from "node:test";
import type { ChartFound, ColourNotMatched, GreyCardUsed } from "@samescale/picture";
import { renderPicture, standardCamera, standardScene, writePicture } from "@samescale/simulator";

const MAIN = resolve(import.meta.dirname, "../src/main.ts");
const folder = mkdtempSync(join(tmpdir(), "samescale-colour-command-"));
const photo = join(folder, "chart.jpg");
after(() => rmSync(folder, { recursive: true }));

const colour = (...args: string[]) =>
  spawnSync(process.execPath, [MAIN, "colour", ...args], { encoding: "utf8" });

function answered<Answer>(...args: string[]): Answer {
  const { status, stdout, stderr } = colour(...args, "--json");
  assert.equal(status, 0, stderr);
  return JSON.parse(stdout) as Answer;
}

/** A chart in a warm cast, its greys along the lower edge; `grey` is the middle of neutral 6.5. */
let grey = "";
before(async () => {
  const scene = standardScene({ things: [{ kind: "chart", placement: { xMm: 0, yMm: 0 } }] });
  const camera = standardCamera({ widthPx: 720, heightPx: 480, whiteBalanceK: 6500, exposureStops: -0.4 });
  const picture = await renderPicture({ scene, camera, seed: 3 });
  await writePicture(photo, picture, camera);
  const { px } = picture.truth.things[0]!.points.find((point) => point.name === "patch 21")!;
  grey = px.map((v) => v.toFixed(1)).join(",");
});

test("by the chart, with a department's own values in place of the published ones", () => {
  const own = join(folder, "own.txt");
  const rows = PUBLISHED.map((lab, i) => `${i + 1} ${lab}`);
  const head = "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\nEND_DATA_FORMAT\nBEGIN_DATA\n";
  writeFileSync(own, `${head}${rows.join("\n")}\nEND_DATA\n`);
  const answer = answered<ChartFound>(photo, "--chart-values", own);
  assert.deepEqual([answer.found, answer.by, answer.edition], [true, "chart", "own-values"]);
  assert.ok(answer.deltaE00.before.mean > 4 && answer.deltaE00.crossValidated.mean < 2); // the project's aim
  assert.ok(answer.warnings.some((w) => w.startsWith("own values: illuminant D50")));
  assert.deepEqual(
    answer.judgements.map(({ what }) => what),
    ["exposure", "clipping", "uneven light", "mixed light"],
  );
});

/** The older edition's values, as a measuring program would write them. @source Chart24LabD50 */
const PUBLISHED =
  `37.986 13.555 14.059|65.711 18.13 17.81|49.927 -4.88 -21.925|43.139 -13.095 21.905|55.112 8.844 -25.399|70.719 -33.397 -0.199|62.661 36.067 57.096|40.02 10.41 -45.964|51.124 48.239 16.248|30.325 22.976 -21.587|72.532 -23.709 57.255|71.941 19.363 67.857|28.778 14.179 -50.297|55.261 -38.342 31.37|42.101 53.378 28.19|81.733 4.039 79.819|51.935 49.986 -14.574|51.038 -28.631 -28.638|96.539 -0.425 1.186|81.257 -0.638 -0.335|66.766 -0.734 -0.504|50.867 -0.153 -0.27|35.656 -0.421 -1.231|20.461 -0.079 -0.973`.split(
    "|",
  );

test("by a point on a grey card, of a reflectance that is told", () => {
  const to = join(folder, "by-grey.png");
  // neutral 6.5 reflects 36 %: Y of L* = 66.8 (CIE 15)
  const answer = answered<GreyCardUsed>(
    photo,
    "--grey",
    grey,
    "--grey-reflectance",
    "36.3",
    "--corrected",
    to,
  );
  assert.ok(answer.found && answer.by === "grey-card" && existsSync(to));
  assert.ok(
    answer.warnings.includes("white balance and exposure only: no other colour was corrected or checked"),
  );
  const again = answered<ChartFound>(to, "--chart-edition", "before-2014");
  assert.ok(again.found && Math.abs(again.exposureStops ?? 9) < 0.1 && again.deltaE00.before.mean < 3);
});

test("a picture that cannot be laid over the baseline is answered with the reason", () => {
  const answer = answered<ColourNotMatched>(photo, "--like", photo);
  assert.deepEqual(
    [answer.found, answer.baseline, answer.reason],
    [false, photo, "both files hold the same picture"],
  );
});

test("what cannot be meant is refused before anything is read", () => {
  const broken = join(folder, "broken.txt");
  writeFileSync(broken, "BEGIN_DATA\n");
  for (const [args, status, says] of [
    [["--grey", "1,2", "--like", photo], 2, /asked for together/],
    [["--grey-reflectance", "18"], 2, /without a grey card/],
    [["--like", photo, "--points", broken], 2, /not JSON/],
    [["--chart-values", broken], 1, /BEGIN_DATA_FORMAT is missing/],
    [[photo, "--grey", "1,2"], 2, /expected one photograph/],
  ] as const) {
    const run = colour(photo, ...args);
    assert.equal(run.status, status, args.join(" "));
    assert.match(run.stderr, says);
  }
});
