import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import sharp from "sharp";
import { type CardFigure, type CardView, type ShotCard, shotCardPage, shotCardPdf } from "../src/index.ts";

const missing = (program: string, packageName: string): string | false =>
  spawnSync(program, ["--version"]).error === undefined && spawnSync(program, ["-h"]).error === undefined
    ? false
    : `${program} is not on this machine (Debian package ${packageName})`;
const noPoppler = missing("pdftoppm", "poppler-utils");
const noZbar = missing("zbarimg", "zbar-tools");
let folder = "";

before(() => {
  folder = mkdtempSync(join(tmpdir(), "samescale-card-"));
});
after(() => rmSync(folder, { recursive: true }));

const figure: CardFigure = {
  window: { x: -86, y: -62, width: 172, height: 124 },
  frame: { x: -72, y: -48, width: 144, height: 96 },
  strokes: [
    { path: "M -90,0 C -40,-20 40,20 90,0", pen: "line" },
    { path: "M -20,30 L 20,30 L 20,36 L -20,36 Z", pen: "thing" },
  ],
  letters: [{ text: "L", x: -60, y: -36 }],
  letterMm: 16,
};
const view: CardView = {
  name: "Close-up with L-scale",
  shows: "wound, close with scale, LEFT",
  figure,
  ratio: "1:4",
  distance: "50 cm",
  aperture: "f/18",
  lens: "before the 100 mm macro",
  scale: "L-scale: beside the wound, in the plane of its edge.",
  notes: ["Hold the scale level."],
};
const cardOf = (fields: Partial<ShotCard> = {}): ShotCard => ({
  department: "Invented department",
  requestCode: "R-2026-0117",
  codeText: "SR1:R-2026-0117:FI204417",
  patientNumber: "FI204417",
  patientName: null,
  madeAt: new Date("2026-05-03T09:00:00Z"),
  title: "Wound, series",
  setting: ["Ward", "about 16 minutes"],
  cautions: ["Infection control: nothing touches the wound."],
  usual: ["Set the ratio, then move until it is sharp."],
  views: Array.from({ length: 7 }, () => view),
  refused: [],
  ...fields,
});

/** The first page as a picture, at so many dots per inch. */
async function firstPage(name: string, card: ShotCard, dpi: number): Promise<string> {
  const pdf = join(folder, `${name}.pdf`);
  writeFileSync(pdf, await shotCardPdf(card));
  const size = ["-r", String(dpi), "-l", "1", "-singlefile", "-gray", "-png"];
  execFileSync("pdftoppm", [...size, pdf, join(folder, name)]);
  return join(folder, `${name}.png`);
}

const scanned = (picture: string): string =>
  execFileSync("zbarimg", ["--nodbus", "--quiet", "--raw", picture], { encoding: "utf8" }).trim();

const pagesOf = (pdf: string): string[] =>
  execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).split("\f").slice(0, -1);

test("the code is read by a general reader from the page at paper size", {
  skip: noPoppler || noZbar,
}, async () => {
  for (const dpi of [72, 150]) {
    const page = await firstPage(`code-${dpi}`, cardOf(), dpi);
    assert.equal(scanned(page), "SR1:R-2026-0117:FI204417", `at ${dpi} dots per inch`);
  }
});

test("the longest request code and a number in other letters are read as well", {
  skip: noPoppler || noZbar,
}, async () => {
  const requestCode = "R-0123456789-0123456789-01234567";
  for (const [i, number] of ["0123456789012345678", "ÄÖ 12/34"].entries()) {
    const codeText = `SR1:${requestCode}:${number}`;
    const page = await firstPage(`long-${i}`, cardOf({ requestCode, codeText }), 150);
    assert.equal(scanned(page), codeText);
  }
});

test("the check line is 100 ± 0.1 mm as another program renders the page", { skip: noPoppler }, async () => {
  const dpi = 400;
  const page = await firstPage("line", cardOf(), dpi);
  const { data, info } = await sharp(page).extractChannel(0).raw().toBuffer({ resolveWithObject: true });
  const mmPerPx = 25.4 / dpi;
  const lengths: number[] = [];
  // The line lies in the lowest fifth of the page and is the longest there.
  for (let y = Math.round(info.height * 0.8); y < info.height; y++) {
    let run = 0;
    for (let x = 0; x <= info.width; x++) {
      const isBlack = x < info.width && data[y * info.width + x]! < 128;
      if (isBlack) run++;
      else {
        if (run * mmPerPx > 50) lengths.push(run * mmPerPx);
        run = 0;
      }
    }
  }
  // Half a stroke of the end ticks (0.25 points) stands out at each end.
  const strokeMm = (0.25 * 25.4) / 72;
  assert.ok(lengths.length > 0, "there is no line");
  assert.ok(Math.abs(Math.max(...lengths) - strokeMm - 100) < 0.1, `${Math.max(...lengths)} mm`);
});

test("eight views of usual length stand on one page; more go on to further ones, each with code, day and number", {
  skip: noPoppler,
}, async () => {
  const pdf = join(folder, "pages.pdf");
  writeFileSync(pdf, await shotCardPdf(cardOf({ views: Array.from({ length: 8 }, () => view) })));
  assert.equal(pagesOf(pdf).length, 1);
  writeFileSync(pdf, await shotCardPdf(cardOf({ views: Array.from({ length: 25 }, () => view) })));
  const pages = pagesOf(pdf);
  assert.ok(pages.length >= 3);
  pages.forEach((text, i) => {
    assert.match(text, /R-2026-0117/);
    assert.match(text, /2026-05-03/);
    assert.match(text, new RegExp(`page ${i + 1} of ${pages.length}`));
  });
  assert.equal(pages.join("").match(/Close-up with L-scale/g)?.length, 25);
});

test("what cannot be made is said on the card", { skip: noPoppler }, async () => {
  const pdf = join(folder, "refused.pdf");
  writeFileSync(
    pdf,
    await shotCardPdf(cardOf({ refused: [{ name: "Region", reason: "This room gives 1.2 m." }] })),
  );
  assert.match(pagesOf(pdf).join(""), /Cannot be made here: Region\. This room gives 1\.2 m\./);
});

test("letters that the font lacks are told of, not printed as empty boxes", { skip: noPoppler }, async () => {
  const pdf = join(folder, "letters.pdf");
  writeFileSync(pdf, await shotCardPdf(cardOf({ patientName: "漢字 Łukasz Müller" })));
  assert.match(pagesOf(pdf).join(""), /\?\? \?ukasz Müller/);
});

test("the same card gives the same bytes", async () => {
  assert.deepEqual(await shotCardPdf(cardOf()), await shotCardPdf(cardOf()));
  assert.equal((await shotCardPage(cardOf())).html, (await shotCardPage(cardOf())).html);
});

const HOSTILE = `<img src=x onerror=alert(1)>"'&</script><script>alert(1)</script>`;

test("names and words from files cannot become markup on the page for a phone", async () => {
  const { html } = await shotCardPage(
    cardOf({
      department: HOSTILE,
      requestCode: HOSTILE,
      patientName: HOSTILE,
      patientNumber: HOSTILE,
      title: HOSTILE,
      setting: [HOSTILE],
      cautions: [HOSTILE],
      usual: [HOSTILE],
      refused: [{ name: HOSTILE, reason: HOSTILE }],
      views: [
        {
          ...view,
          name: HOSTILE,
          shows: HOSTILE,
          ratio: HOSTILE,
          distance: HOSTILE,
          aperture: HOSTILE,
          lens: HOSTILE,
          scale: HOSTILE,
          notes: [HOSTILE],
          figure: {
            ...figure,
            strokes: [{ path: HOSTILE, pen: "line" }],
            letters: [{ text: HOSTILE, x: 0, y: 0 }],
          },
        },
      ],
    }),
  );
  assert.equal(html.match(/<script/g)?.length, 1);
  assert.equal(html.match(/<\/script/g)?.length, 1);
  assert.ok(!html.includes("<img"));
  assert.ok(!/"'&</.test(html));
});

test("the page for a phone needs nothing from the network, and its policy lets nothing else in", async () => {
  const { html, contentSecurityPolicy } = await shotCardPage(cardOf());
  assert.ok(
    !/https?:|\/\/[a-z]/i.test(html.replaceAll(/data:font\/woff2;base64,[A-Za-z0-9+/=]+/g, "")),
    "an address",
  );
  assert.ok(!/<(link|iframe|img|object|form)/i.test(html));
  assert.match(contentSecurityPolicy, /^default-src 'none';/);
  const hash = (tag: string) => {
    const inside = new RegExp(`<${tag}>([\\s\\S]*?)</${tag}>`).exec(html)![1]!;
    return `sha256-${createHash("sha256").update(inside).digest("base64")}`;
  };
  assert.ok(contentSecurityPolicy.includes(`style-src '${hash("style")}'`));
  assert.ok(contentSecurityPolicy.includes(`script-src '${hash("script")}'`));
  assert.ok(html.includes(`content="${contentSecurityPolicy.split("; frame-ancestors")[0]}"`));
});

test("a name stands on the card only where it is given", async () => {
  assert.ok(!(await shotCardPage(cardOf())).html.includes("Ada Example"));
  assert.ok((await shotCardPage(cardOf({ patientName: "Ada Example" }))).html.includes("Ada Example"));
});

test("ticks belong to one plan: other views, another key", async () => {
  const keyOf = async (card: ShotCard) => /data-card="([^"]+)"/.exec((await shotCardPage(card)).html)![1];
  const first = await keyOf(cardOf());
  assert.equal(await keyOf(cardOf({ title: "renamed" })), first);
  assert.notEqual(await keyOf(cardOf({ views: [{ ...view, ratio: "1:5" }] })), first);
});

test("the code on the phone's page is read by a general reader", { skip: noZbar }, async () => {
  const { html } = await shotCardPage(cardOf());
  const svg = /<div class="code">(<svg.*?<\/svg>)/
    .exec(html)![1]!
    .replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" width="176" height="176" ');
  const file = join(folder, "phone.png");
  await sharp(Buffer.from(svg))
    .flatten({ background: "#fff" })
    .extend({ top: 20, bottom: 20, left: 20, right: 20, background: "#fff" })
    .png()
    .toFile(file);
  assert.equal(scanned(file), "SR1:R-2026-0117:FI204417");
});
