import { existsSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { isMainThread, parentPort, workerData } from "node:worker_threads";
import { seededRandom } from "../packages/geometry/src/index.ts";
import { decodePicture } from "../packages/picture/src/decode/decode.ts";
import { diceAfterClicks } from "./outline/click-rule.ts";
import { type DiceRow, diceTable } from "./outline/dice-tables.ts";
import { rowsOfSeeds } from "./rows-of-seeds.ts";

/**
 * Outlines from clicks on the developer photographs of real wounds, against experts' masks, exact and inexact clicks, by size.
 *   node bench/outline-photographs.bench.ts [--jitters 3] [--threads 2] [--each]
 */
const folder = resolve(import.meta.dirname, "../../shared/data/wounds");
const CLICKS = 3;

interface Row extends DiceRow {
  readonly image: string;
  readonly areaPx: number;
}

interface Item {
  readonly image: string;
  readonly mask: string;
  readonly areaPx: number;
}

if (!existsSync(folder)) {
  process.stdout.write("skipped: the photographs of ../shared are not here\n");
} else {
  const items = (JSON.parse(readFileSync(join(folder, "truth.json"), "utf8")) as { items: Item[] }).items;
  if (isMainThread) {
    const { values } = parseArgs({
      options: {
        jitters: { type: "string", default: "3" },
        threads: { type: "string", default: "2" },
        each: { type: "boolean", default: false },
      },
    });
    const found = await rowsOfSeeds<Row[]>(
      new URL(import.meta.url),
      { first: 0, count: items.length },
      Number(values.threads),
      { workerData: Number(values.jitters) },
    );
    const rows = found.flat();
    for (const line of diceTable(rows, { "area at 512 px": ({ areaPx }) => sizeOf(areaPx) }))
      process.stdout.write(`${line}\n`);
    if (values.each) {
      for (const r of rows.toSorted((a, b) => a.jitterPx - b.jitterPx || a.image.localeCompare(b.image)))
        process.stdout.write(`${r.image} ${r.jitterPx} ${r.dice.map((d) => d.toFixed(3)).join(" ")}\n`);
    }
  } else {
    parentPort!.on("message", async (i: number) => parentPort!.postMessage(await rowsOf(items[i]!, i)));
  }
}

async function rowsOf({ image, mask, areaPx }: Item, index: number): Promise<Row[]> {
  const picture = await decodePicture(join(folder, image));
  const drawn = await decodePicture(join(folder, mask));
  const truth = Uint8Array.from({ length: picture.widthPx * picture.heightPx }, (_, i) =>
    drawn.rgb[3 * i]! > 127 ? 1 : 0,
  );
  const jitters = workerData as number;
  const tries = [0, ...[5, 10].flatMap((px) => Array<number>(jitters).fill(px))];
  return tries.map((byPx, k) => ({
    image,
    areaPx,
    jitterPx: byPx,
    dice: diceAfterClicks(
      picture,
      truth,
      CLICKS,
      byPx > 0 ? { byPx, random: seededRandom(1000 * index + k) } : undefined,
    ),
  }));
}

function sizeOf(areaPx: number): string {
  if (areaPx < 1000) return "1 under 1000 px";
  return areaPx < 2500 ? "2 1000 to 2500 px" : "3 over 2500 px";
}
