import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { CardView, ShotCard } from "../card/shot-card.ts";
import { qrCode } from "../pdf/code-modules.ts";
import { figureSvg } from "./figure-svg.ts";
import { escaped } from "./html.ts";
import { shotCardStyle } from "./shot-card-style.ts";

/** A page that needs nothing but itself, and what a server that passes it on has to allow. */
export interface SelfContainedPage {
  readonly html: string;
  /** Value of the header of that name: nothing from the network, these very styles and this very script only. */
  readonly contentSecurityPolicy: string;
}

/**
 * Keeps the ticks by card on this phone and counts them. A phone that keeps nothing (private browsing) still counts.
 * Everything that it needs to know stands in the page: nothing is written into it.
 */
const SCRIPT = `
const boxes = [...document.querySelectorAll("input[type=checkbox]")];
const name = "shot-card " + document.body.dataset.card;
const kept = () => { try { return JSON.parse(localStorage.getItem(name)) ?? []; } catch { return []; } };
const keep = (made) => { try { localStorage.setItem(name, JSON.stringify(made)); } catch {} };
const count = () => {
  const made = boxes.filter((box) => box.checked).map((box) => box.value);
  document.querySelector("output").value = made.length + " of " + boxes.length + " made";
  return made;
};
const before = kept();
for (const box of boxes) { box.checked = Array.isArray(before) && before.includes(box.value); box.addEventListener("change", () => keep(count())); }
count();
`;

/** The shot card for a phone: one file, no network. */
export async function shotCardPage(card: ShotCard): Promise<SelfContainedPage> {
  const style = (await fontFaces()) + shotCardStyle;
  const policy = [
    "default-src 'none'",
    "font-src data:",
    `style-src '${hashOf(style)}'`,
    `script-src '${hashOf(SCRIPT)}'`,
    "base-uri 'none'",
    "form-action 'none'",
  ];
  const html = `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy.join("; ")}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>Shot card ${escaped(card.requestCode)}</title>
<style>${style}</style>
</head>
<body data-card="${escaped(cardKey(card))}">
<header>
<p class="quiet">${escaped(card.department)}</p>
<h1>${escaped(card.requestCode)}</h1>
<h2>${escaped(card.title)}</h2>
<p>${card.setting.map(escaped).join(" · ")}</p>
${patientOf(card)}
<div class="code">${codeSvg(card)}</div>
<p class="quiet">Photograph this code first.</p>
</header>
${listOf("cautions", card.cautions)}
<p class="usual"><strong>Unless a view says otherwise:</strong> ${card.usual.map(escaped).join(" ")}</p>
<ol class="views">
${card.views.map(viewOf).join("\n")}
</ol>
${listOf(
  "refused",
  card.refused.map(({ name, reason }) => `Cannot be made here: ${name}. ${reason}`),
)}
<footer>Shot card ${escaped(card.requestCode)} · ${card.madeAt.toISOString().slice(0, 10)}. Ticks stay on this phone.</footer>
<div class="made"><div><output></output></div></div>
<script>${SCRIPT}</script>
</body>
</html>
`;
  return { html, contentSecurityPolicy: [...policy, "frame-ancestors 'none'"].join("; ") };
}

/** Ticks belong to one making of the card: a new plan begins without any. */
const cardKey = ({ requestCode, madeAt, views }: ShotCard): string =>
  `${requestCode} ${madeAt.toISOString().slice(0, 10)} ${createHash("sha256")
    .update(JSON.stringify(views.map(({ name, ratio }) => [name, ratio])))
    .digest("hex")
    .slice(0, 12)}`;

function patientOf({ patientName, patientNumber }: ShotCard): string {
  const parts = [patientName, patientNumber].filter((part) => part !== null);
  return parts.length === 0 ? "" : `<p><strong>${parts.map(escaped).join(" · ")}</strong></p>`;
}

const listOf = (name: string, items: readonly string[]): string =>
  items.length === 0
    ? ""
    : `<ul class="${name}">${items.map((item) => `<li>${escaped(item)}</li>`).join("")}</ul>`;

function viewOf(view: CardView, index: number): string {
  const number = index + 1;
  const notes = [
    ...(view.scale === null ? [] : [`<p><strong>${escaped(view.scale)}</strong></p>`]),
    ...view.notes.map((note) => `<p>${escaped(note)}</p>`),
  ];
  return `<li class="view"><label><input type="checkbox" value="${number}"><h3>${number}. ${escaped(view.name)}</h3></label>
<div class="body">${figureSvg(view.figure, `f${number}`)}<div><p class="ratio">${escaped(view.ratio)}</p><p class="numbers">${escaped(view.distance)}<br>${escaped(view.aperture)}</p><p class="quiet">${escaped(view.lens)}</p></div>
<div class="notes"><p class="quiet">${escaped(view.shows)}${view.scale === null ? ", no scale" : ""}</p>${notes.join("")}</div></div></li>`;
}

function codeSvg({ codeText }: ShotCard): string {
  const { runs, modules } = qrCode(codeText);
  const path = runs
    .map(({ x, y, width }) => {
      const [left, top, wide] = [x, y, width].map((share) => Math.round(share * modules));
      return `M${left} ${top}h${wide}v1h-${wide}z`;
    })
    .join("");
  return `<svg viewBox="0 0 ${modules} ${modules}" shape-rendering="crispEdges" role="img" aria-label="Label code"><path d="${path}"/></svg>`;
}

const hashOf = (text: string): string => `sha256-${createHash("sha256").update(text).digest("base64")}`;

const require = createRequire(import.meta.url);

async function fontFaces(): Promise<string> {
  const faces = await Promise.all(
    [400, 700].map(async (weight) => {
      const file = require.resolve(
        `@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-${weight}-normal.woff2`,
      );
      const data = (await readFile(file)).toString("base64");
      return `@font-face { font-family: "Atkinson Hyperlegible Next"; font-weight: ${weight}; src: url(data:font/woff2;base64,${data}) format("woff2"); }`;
    }),
  );
  return `\n${faces.join("\n")}`;
}
