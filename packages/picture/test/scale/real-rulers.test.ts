import assert from "node:assert/strict";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { scaleOfFile } from "../../src/scale/scale-of-file.ts";

const DATA = fileURLToPath(new URL("../../../../../shared/data", import.meta.url));
const here = existsSync(join(DATA, "rulers", "truth.json"));
const skip = here ? false : "the labelled photographs (../shared/data) are not here";

interface Item {
  readonly file: string;
  readonly pxPerMm: number;
  readonly pxPerMmTolerancePct: number;
}

// Hand labels: graduations placed on zoomed crops, 1 px; their tolerance per picture covers the label and the change of
// scale over the picture.
test("real photographs of rulers are read within 1 % of the hand labels", { skip }, async () => {
  const { items } = JSON.parse(readFileSync(join(DATA, "rulers", "truth.json"), "utf8")) as { items: Item[] };
  assert.ok(items.length > 0);
  for (const { file, pxPerMm, pxPerMmTolerancePct } of items) {
    const answer = await scaleOfFile({ file: join(DATA, "rulers", file) });
    assert.ok(answer.found, file);
    for (const scale of answer.scales) {
      const off = 100 * Math.abs(scale.pxPerMm.value / pxPerMm - 1);
      assert.ok(
        off <= 1 + pxPerMmTolerancePct,
        `${file}: ${scale.pxPerMm.value} for ${pxPerMm}, ${off} % off`,
      );
    }
  }
});

test("real photographs without a scale give none (every eighth of them)", { skip }, async () => {
  const folders = ["wounds/images", "pairs", "exif", "portraits", "barcodes", "calibration", "colour-charts"];
  const files = folders.flatMap((folder) =>
    readdirSync(join(DATA, folder))
      .filter((name) => /\.(jpe?g|png)$/i.test(name))
      .sort()
      .map((name) => join(DATA, folder, name)),
  );
  const sample = files.filter((_, i) => i % 8 === 0);
  assert.ok(sample.length > 10);
  for (const file of sample) {
    const answer = await scaleOfFile({ file });
    assert.equal(answer.found, false, file);
  }
});
