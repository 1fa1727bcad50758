import type { ContactSheet, SheetFrame, SheetRequest, SheetVisit } from "@samescale/desk";
import { type Html, html, list, nothing } from "./html.ts";

/** The contact sheet: every frame by request and visit, what was planned and read, and what to do about it. */
export function contactSheetPage(title: string, sheet: ContactSheet): string {
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Contact sheet · ${title}</title>
<link rel="stylesheet" href="/style.css">
</head>
<body>
<a class="skip" href="#frames">Go to the frames</a>
<header>
<h1>Contact sheet</h1>
<p class="quiet">${title}</p>
<nav aria-label="Requests"><ul>
${sheet.unplaced.length > 0 ? html`<li><a class="waiting" href="#unplaced">Waiting for a person: ${sheet.unplaced.length}</a></li>` : nothing}
${list(sheet.requests.map((r) => html`<li><a href="#${r.requestCode}">${r.requestCode} <span class="quiet">${r.title}</span></a></li>`))}
</ul></nav>
</header>
<main id="frames">
${sheet.unplaced.length > 0 ? unplaced(sheet.unplaced) : nothing}
${sheet.requests.length > 0 ? list(sheet.requests.map(request)) : nothing}
${sheet.requests.length + sheet.unplaced.length === 0 ? empty() : nothing}
</main>
</body>
</html>`;
  return page.text;
}

function empty(): Html {
  return html`<section><h2>No frames yet</h2><p>Take a card in: <code>samescale take-in CARD --library LIBRARY</code></p></section>`;
}

function unplaced(frames: readonly SheetFrame[]): Html {
  return html`<section id="unplaced"><h2>Waiting for a person</h2>
<p>No label frame says whose these are. They are kept, and given to nobody until somebody who was there says so.</p>
<ul class="frames">${list(frames.map(card))}</ul></section>`;
}

function request(r: SheetRequest): Html {
  return html`<section id="${r.requestCode}"><h2>${r.requestCode} <span class="quiet">${r.title}</span></h2>
<p><a class="card" href="/requests/${encodeURIComponent(r.requestCode)}/card">Shot card for a phone</a></p>
${list(r.visits.map(visit))}</section>`;
}

function visit(v: SheetVisit): Html {
  const missing =
    v.missingViews.length > 0 ? html`<p class="missing">Not made: ${v.missingViews.join(", ")}</p>` : nothing;
  return html`<h3>${v.date}</h3>${missing}<ul class="frames">${list(v.frames.map(card))}</ul>`;
}

function card(f: SheetFrame): Html {
  const shows = f.isLabelFrame ? "label frame" : (f.viewName ?? "no view of the plan");
  return html`<li class="frame">
<img src="/thumbnail/${f.sha256}" alt="${shows}, file ${f.fileName}" loading="lazy" width="480" height="320">
<div class="facts">
<h4>${shows}</h4>
${f.verdict ? html`<p class="verdict ${f.verdict}"><span class="mark" aria-hidden="true"></span>${f.verdict.replace("-", " ")}</p>` : nothing}
${f.say ? html`<p>${f.say}</p>` : nothing}
${f.isLabelFrame ? nothing : numbers(f)}
<p class="quiet">${f.fileName}${f.takenAt ? ` · ${f.takenAt.replace("T", " ").slice(0, 16)}` : ""}</p>
</div></li>`;
}

function numbers(f: SheetFrame): Html {
  const rows: Html[] = [];
  if (f.ratioPlanned !== null) rows.push(row("planned", ratio(f.ratioPlanned)));
  if (f.ratioRead !== null) rows.push(row("read", ratio(f.ratioRead.value)));
  if (f.leanDeg !== null)
    rows.push(row("lean", `${f.leanDeg.value.toFixed(1)} ± ${f.leanDeg.u95.toFixed(1)}°`));
  if (f.areaMm2 !== null)
    rows.push(row("area", `${f.areaMm2.value.toFixed(0)} ± ${f.areaMm2.u95.toFixed(0)} mm²`));
  return rows.length > 0 ? html`<dl>${list(rows)}</dl>` : nothing;
}

const row = (term: string, value: string): Html => html`<div><dt>${term}</dt><dd>${value}</dd></div>`;

function ratio(magnification: number): string {
  return magnification > 1 ? `${trimmed(magnification)}:1` : `1:${trimmed(1 / magnification)}`;
}

const trimmed = (value: number): string => value.toFixed(2).replace(/\.?0+$/, "");
