import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { cardOfPlan } from "../../packages/desk/src/card/card-of-plan.ts";
import { practiceFolderFor, readPracticeFolder } from "../../packages/desk/src/practice/practice-folder.ts";
import { shotCardPage, shotCardPdf } from "../../packages/exchange/src/index.ts";
import { FIGURE_PX, figureSvg } from "../../packages/exchange/src/page/figure-svg.ts";
import { FIGURE_NAMES, FIGURES } from "../../packages/practice/src/figures/catalogue.ts";
import { viewFigure } from "../../packages/practice/src/figures/view-figure.ts";
import { planViews } from "../../packages/practice/src/plan/plan-views.ts";

/**
 * Draws the pictures of docs/practice.md and docs/shot-card.md: every line figure by its name, and an invented
 * request's card on paper (pdftoppm) and on a phone of 360 px (chromium).
 *   node scripts/figures/shot-card.ts
 */
const { default: sharp } = await import(
  createRequire(new URL("../../packages/exchange/package.json", import.meta.url)).resolve("sharp")
);
const figures = fileURLToPath(new URL("../../docs/figures/", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "samescale-figures-"));
const practice = await readPracticeFolder(await practiceFolderFor(undefined, null));
const small = async (picture: Buffer | string, name: string): Promise<void> => {
  await sharp(picture).png({ palette: true, colours: 16, compressionLevel: 9 }).toFile(join(figures, name));
};

await small(Buffer.from(everyFigure()), "views.png");

const set = practice.viewSets.find(({ key }) => key === "wound")!;
const card = cardOfPlan(
  { requestCode: "R-2026-0117", dueDate: "2026-05-04", patient: { number: "FI204417", name: "Ada Example" } },
  planViews(set, practice, { side: "left", place: "clinic" }),
  practice,
  new Date("2026-05-03T09:00:00Z"),
);
writeFileSync(join(folder, "card.pdf"), await shotCardPdf(card));
execFileSync("pdftoppm", [
  "-r",
  "100",
  "-singlefile",
  "-png",
  join(folder, "card.pdf"),
  join(folder, "card"),
]);
await small(join(folder, "card.png"), "shot-card.png");

writeFileSync(join(folder, "card.html"), (await shotCardPage(card)).html);
// The browser's own window is never narrower than 500 px: the page stands in a frame of a phone's width.
writeFileSync(
  join(folder, "phone.html"),
  '<!doctype html><body style="margin:0"><iframe src="card.html" style="border:0;width:360px;height:1300px"></iframe>',
);
const screen = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=500,1300"];
const shot = join(folder, "phone.png");
execFileSync("chromium", [...screen, `--screenshot=${shot}`, `file://${join(folder, "phone.html")}`], {
  stdio: "ignore",
});
await small(
  await sharp(readFileSync(shot)).extract({ left: 0, top: 0, width: 360, height: 1300 }).toBuffer(),
  "shot-card-phone.png",
);
rmSync(folder, { recursive: true });

/** Each as the first view that uses it shows it on 36 x 24 mm. */
function everyFigure(): string {
  const views = practice.viewSets.flatMap((one) => one.views);
  const [columns, cellWidth, cellHeight] = [8, 150, 148];
  const cells = FIGURE_NAMES.map((name, i) => {
    const view = views.find(({ figure }) => figure === name)!;
    const [long, short] = [36 / view.magnification, 24 / view.magnification];
    const upright = view.orientation === "portrait";
    const side = FIGURES[name].sides === "one" ? "right" : view.side;
    const field = upright ? { width: short, height: long } : { width: long, height: short };
    const drawn = figureSvg(viewFigure({ ...view, side }, field), `f${i}`).replace(
      "<svg ",
      `<svg x="${(cellWidth - FIGURE_PX.width) / 2}" y="6" width="${FIGURE_PX.width}" height="${FIGURE_PX.height}" `,
    );
    const at = `translate(${(i % columns) * cellWidth},${Math.floor(i / columns) * cellHeight})`;
    return `<g transform="${at}">${drawn}<text x="${cellWidth / 2}" y="138" class="name">${name}</text></g>`;
  });
  const [width, height] = [columns * cellWidth, Math.ceil(cells.length / columns) * cellHeight];
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" fill="none" stroke="#000" color="#000" stroke-linecap="round" stroke-linejoin="round"><style>
.outside { stroke: #b4b4b4; } .ground, .thing { fill: #fff; } .ground { stroke: none; }
text { fill: #000; stroke: none; text-anchor: middle; font-family: sans-serif; font-weight: 700; } .name { font-weight: 400; font-size: 13px; }
</style><rect width="${width}" height="${height}" fill="#fff" stroke="none"/>${cells.join("")}</svg>`;
}
