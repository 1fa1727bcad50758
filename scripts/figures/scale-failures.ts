import { readFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import type { Row } from "../../bench/scale-rendered/row.ts";
import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { svg, text } from "./drawing.ts";

/**
 * A sheet of the rendered scales that were not read, or only with a doubt, each with what was said.
 *   node scripts/figures/scale-failures.ts RUN.jsonl KEPT_FOLDER OUT.jpg [--most 24]
 * RUN and KEPT_FOLDER are what bench/scale-rendered.bench.ts left with --jsonl and --keep.
 */
const { positionals, values } = parseArgs({
  allowPositionals: true,
  options: { most: { type: "string", default: "24" } },
});
const [run, kept, out] = positionals as [string, string, string];
const COLUMNS = 4;
const CELL = { width: 330, height: 262, picture: 220 };

const all = readFileSync(run, "utf8")
  .split("\n")
  .filter(Boolean)
  .map((line) => JSON.parse(line) as Row)
  .filter((row) => row.answer === "not found" && (row.facts as { unitTold?: boolean }).unitTold !== false)
  .sort((a, b) => a.facts.kind.localeCompare(b.facts.kind) || a.seed - b.seed);
// Evenly from the list, so that every kind has its share.
const most = Math.min(Number(values.most), all.length);
const rows = Array.from({ length: most }, (_, i) => all[Math.floor((i * all.length) / most)]!);

const cells = await Promise.all(
  rows.map(async ({ seed, facts, says }, i) => {
    const [left, top] = [(i % COLUMNS) * CELL.width, Math.floor(i / COLUMNS) * CELL.height];
    const picture = await sharp(join(kept, `scale-${seed}.jpg`))
      .resize({ width: CELL.width - 10, height: CELL.picture, fit: "inside" })
      .toBuffer();
    const { pitchPx, leanDeg } = facts as { pitchPx?: number; leanDeg?: number };
    const numbers = pitchPx ? `, ${pitchPx.toFixed(1)} px, ${leanDeg?.toFixed(0)}°` : "";
    const caption = text(`${seed}: ${facts.kind}${numbers}`, 4, CELL.picture + 14, 9, "#000", -1);
    const reason = text(
      (says[0] ?? "").split(/[.:,]/)[0]!.slice(0, 58),
      4,
      CELL.picture + 30,
      8,
      "#6b6b6b",
      -1,
    );
    return [
      { input: picture, left, top },
      { input: svg(CELL.width, CELL.height, caption + reason), left, top },
    ];
  }),
);
const height = Math.ceil(rows.length / COLUMNS) * CELL.height;
await sharp({
  create: { width: COLUMNS * CELL.width, height: Math.max(height, 1), channels: 3, background: "#ffffff" },
})
  .composite(cells.flat())
  .jpeg({ quality: 78 })
  .toFile(out);
process.stdout.write(`${all.length} not found, ${rows.length} shown\n`);
