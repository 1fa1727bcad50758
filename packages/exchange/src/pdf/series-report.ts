import type { Measured } from "@samescale/geometry";
import { type Box, drawAreaChart } from "./area-chart.ts";
import {
  changeBetween,
  changeSentence,
  changesSinceFirst,
  type MeasuredVisit,
  signed,
  type VisitChange,
} from "./change-words.ts";
import { bytesOf, CONTENT_WIDTH_MM, checkLine, footers, mm, newDocument, PAGE } from "./page.ts";
import { type Column, drawTable } from "./table.ts";

/** One visit of a series, as it is printed. */
export interface SeriesVisit {
  readonly dateIso: string;
  /** "baseline", or what it is against the baseline. */
  readonly heading: string;
  /** The aligned picture: the same window of the subject for every visit; null: there is none, and the notes say why. */
  readonly jpeg: Uint8Array | null;
  /** What was measured, in millimetres of the window (origin top left). */
  readonly outlinesMm: readonly (readonly (readonly [x: number, y: number])[])[];
  readonly areaMm2: Measured | null;
  readonly lengthMm: Measured | null;
  readonly widthMm: Measured | null;
  readonly perimeterMm: Measured | null;
  readonly ratioRead: Measured | null;
  /** Why there is no number, or what was planted or seen; printed under the picture. */
  readonly notes: readonly string[];
}

export interface SeriesReport {
  readonly department: string;
  readonly title: string;
  readonly viewName: string;
  readonly requestCode: string;
  readonly madeAt: Date;
  /** The window shown of the subject, in millimetres in its plane. */
  readonly windowMm: { readonly width: number; readonly height: number };
  readonly visits: readonly SeriesVisit[];
  /** Sentences on how the numbers came about, and what they are worth. */
  readonly method: readonly string[];
  /** What others published about such measurements, with its source. */
  readonly background: readonly string[];
  readonly cautions: readonly string[];
  /** Originals behind the report. */
  readonly originals: readonly { readonly file: string; readonly sha256: string }[];
}

const PRINT_SCALES = [1, 1.5, 2, 3, 4, 5, 8, 10, 16, 20] as const;
const GAP_MM = 6;
const COLUMNS = 2;
/** Room for the bar between picture and caption. */
const CAPTION_GAP_MM = 4;
/** A row of nothing but gaps takes no more room than this. */
const GAP_HEIGHT_MM = 5;
/** Above the check line. */
const LAST_PICTURE_MM = PAGE.heightMm - 32;

/** The series report as PDF: aligned pictures at one scale, chart with intervals, table, method, cautions. */
export async function seriesReportPdf(report: SeriesReport): Promise<Buffer> {
  const document = await newDocument(`${report.title}, ${report.requestCode}`, report.madeAt);
  drawPictures(document, report);
  drawNumbers(document, report);
  footers(document, report.requestCode, report.madeAt.toISOString().slice(0, 10));
  return await bytesOf(document);
}

function heading(document: PDFKit.PDFDocument, report: SeriesReport, what: string): void {
  document.addPage();
  document
    .font("bold")
    .fontSize(17)
    .fillColor("#000")
    .text(report.title, mm(PAGE.marginMm), mm(14), {
      width: mm(CONTENT_WIDTH_MM),
    });
  document
    .font("regular")
    .fontSize(10)
    .text(`${report.department} · request ${report.requestCode}`, { width: mm(CONTENT_WIDTH_MM) })
    .text(`${report.viewName} · ${what}`, { width: mm(CONTENT_WIDTH_MM) });
  document.moveDown(0.6);
}

function drawPictures(document: PDFKit.PDFDocument, report: SeriesReport): void {
  const columnMm = (CONTENT_WIDTH_MM - GAP_MM * (COLUMNS - 1)) / COLUMNS;
  // The smallest standard reduction at which the window fits the column: every picture gets the same one.
  const reduction =
    PRINT_SCALES.find((n) => report.windowMm.width / n <= columnMm && report.windowMm.height / n <= 92) ?? 40;
  const widthMm = report.windowMm.width / reduction;
  const heightMm = report.windowMm.height / reduction;
  const rows: SeriesVisit[][] = [];
  for (const visit of report.visits) {
    const last = rows.at(-1);
    if (last && last.length < COLUMNS) last.push(visit);
    else rows.push([visit]);
  }
  let yMm = Number.POSITIVE_INFINITY;
  for (const row of rows) {
    const captionsMm = Math.max(...row.map((visit) => captionHeightMm(document, visit, columnMm)));
    const hasPictures = row.some((visit) => visit.jpeg !== null);
    const pictureMm = hasPictures ? heightMm : GAP_HEIGHT_MM;
    const gapMm = hasPictures ? CAPTION_GAP_MM : 1.5;
    const rowMm = pictureMm + gapMm + captionsMm;
    if (yMm + rowMm > LAST_PICTURE_MM) {
      heading(document, report, `pictures aligned, printed 1:${reduction}`);
      yMm = document.y / mm(1) + 3;
      checkLine(document, PAGE.marginMm, PAGE.heightMm - 27);
    }
    row.forEach((visit, column) => {
      const xMm = PAGE.marginMm + column * (columnMm + GAP_MM);
      if (visit.jpeg) {
        const size = { width: mm(widthMm), height: mm(heightMm) };
        document.image(Buffer.from(visit.jpeg), mm(xMm), mm(yMm), size);
      } else drawGap(document, { xMm, yMm, widthMm, heightMm: pictureMm });
      drawOutlines(document, visit, { xMm, yMm, widthMm, heightMm }, reduction);
      document.lineWidth(0.3).strokeColor("#000").rect(mm(xMm), mm(yMm), mm(widthMm), mm(pictureMm)).stroke();
      if (visit.jpeg) drawBar(document, xMm, yMm + heightMm + 1.6, reduction);
      drawCaption(document, visit, xMm, yMm + pictureMm + gapMm, columnMm);
    });
    yMm += rowMm + 3;
  }
}

/** A visit without a picture keeps its place, empty but for a stroke across. */
function drawGap(document: PDFKit.PDFDocument, { xMm, yMm, widthMm, heightMm }: Box): void {
  document.rect(mm(xMm), mm(yMm), mm(widthMm), mm(heightMm)).fill("#eeeeec");
  document
    .lineWidth(0.4)
    .strokeColor("#767676")
    .moveTo(mm(xMm), mm(yMm + heightMm))
    .lineTo(mm(xMm + widthMm), mm(yMm))
    .stroke();
}

function drawCaption(
  document: PDFKit.PDFDocument,
  visit: SeriesVisit,
  xMm: number,
  yMm: number,
  columnMm: number,
): void {
  const width = mm(columnMm);
  document.font("bold").fontSize(10.5).fillColor("#000");
  document.text(`${visit.dateIso}  ${visit.heading}`, mm(xMm), mm(yMm), { width });
  document.font("regular").fontSize(9);
  for (const line of captionOf(visit)) document.text(line, { width });
}

function captionHeightMm(document: PDFKit.PDFDocument, visit: SeriesVisit, columnMm: number): number {
  const width = mm(columnMm);
  const head = document.font("bold").fontSize(10.5).heightOfString(visit.dateIso, { width });
  document.font("regular").fontSize(9);
  const lines = captionOf(visit).map((line) => document.heightOfString(line, { width }));
  return (head + lines.reduce((sum, height) => sum + height, 0)) / mm(1);
}

/** A thin light line inside a dark one, so that it shows on every skin and on a wound. */
function drawOutlines(document: PDFKit.PDFDocument, visit: SeriesVisit, frame: Box, reduction: number): void {
  document.save().rect(mm(frame.xMm), mm(frame.yMm), mm(frame.widthMm), mm(frame.heightMm)).clip();
  for (const [widthPoints, colour] of [
    [1.3, "#000"],
    [0.5, "#fff"],
  ] as const) {
    document.lineWidth(widthPoints).strokeColor(colour).lineJoin("round");
    for (const ring of visit.outlinesMm) {
      if (ring.length < 3) continue;
      ring.forEach(([x, y], i) => {
        const [px, py] = [mm(frame.xMm + x / reduction), mm(frame.yMm + y / reduction)];
        if (i === 0) document.moveTo(px, py);
        else document.lineTo(px, py);
      });
      document.closePath().stroke();
    }
  }
  document.restore();
}

/** 10 mm of the subject, at the print's own scale. */
function drawBar(document: PDFKit.PDFDocument, xMm: number, yMm: number, reduction: number): void {
  const subjectMm = reduction > 4 ? 50 : 10;
  document
    .lineWidth(1.2)
    .strokeColor("#000")
    .moveTo(mm(xMm), mm(yMm))
    .lineTo(mm(xMm + subjectMm / reduction), mm(yMm))
    .stroke();
  document
    .font("regular")
    .fontSize(7.5)
    .fillColor("#000")
    .text(`${subjectMm} mm`, mm(xMm + subjectMm / reduction + 1.5), mm(yMm - 1.4), { lineBreak: false });
}

function captionOf(visit: SeriesVisit): string[] {
  const lines: string[] = [];
  if (visit.areaMm2) lines.push(`area ${withInterval(visit.areaMm2, "mm²", 0)}`);
  if (visit.lengthMm && visit.widthMm) {
    lines.push(
      `length ${withInterval(visit.lengthMm, "mm", 1)} × width ${withInterval(visit.widthMm, "mm", 1)}`,
    );
  }
  if (visit.ratioRead) lines.push(`ratio read ${ratioWords(visit.ratioRead.value)}`);
  return [...lines, ...visit.notes];
}

function drawNumbers(document: PDFKit.PDFDocument, report: SeriesReport): void {
  heading(document, report, "numbers, each with its 95 % interval");
  const measured = report.visits.flatMap((v) =>
    v.areaMm2 ? [{ dateIso: v.dateIso, areaMm2: v.areaMm2 }] : [],
  );
  let yMm = document.y / mm(1) + 6;
  if (measured.length > 0) {
    drawAreaChart(document, { xMm: PAGE.marginMm, yMm, widthMm: CONTENT_WIDTH_MM, heightMm: 70 }, measured);
    yMm += 78;
  }
  yMm = drawTable(document, yMm, SIZES, sizeRows(report.visits));
  const known = report.visits.filter(isMeasured);
  const changes = changesSinceFirst(known);
  if (changes.length > 0) yMm = drawTable(document, yMm + 4, CHANGES, changeRows(changes));
  document.y = mm(yMm + 2);
  document.x = mm(PAGE.marginMm);
  section(document, "What changed", sentencesOf(known, changes));
  section(document, "How these numbers came about", report.method);
  section(document, "Background from the literature, no verdict", report.background);
  section(document, "Cautions", report.cautions);
  section(
    document,
    "Originals, by SHA-256",
    report.originals.map((o) => `${o.sha256}  ${o.file}`),
    7.2,
  );
}

const SIZES: readonly Column[] = [
  { title: "visit", widthMm: 28 },
  { title: "ratio read", widthMm: 26 },
  { title: "area mm²", widthMm: 34 },
  { title: "length mm", widthMm: 30 },
  { title: "width mm", widthMm: 30 },
  { title: "perimeter mm", widthMm: 30 },
];

/** Visits that could not be measured keep their row: a gap is seen as one. */
function sizeRows(visits: readonly SeriesVisit[]): string[][] {
  return visits.map((v) => [
    v.dateIso,
    v.ratioRead ? ratioWords(v.ratioRead.value) : v.jpeg ? "not read" : "no picture",
    v.areaMm2 ? withInterval(v.areaMm2, "", 0) : v.jpeg ? "not measured" : "",
    v.lengthMm ? withInterval(v.lengthMm, "", 1) : "",
    v.widthMm ? withInterval(v.widthMm, "", 1) : "",
    v.perimeterMm ? withInterval(v.perimeterMm, "", 0) : "",
  ]);
}

const CHANGES: readonly Column[] = [
  { title: "since the first", widthMm: 28 },
  { title: "days", widthMm: 16 },
  { title: "area mm²", widthMm: 34 },
  { title: "area %", widthMm: 30 },
  { title: "mm² per week", widthMm: 34 },
  { title: "edge inwards mm/week", widthMm: 36 },
];

function changeRows(changes: readonly VisitChange[]): string[][] {
  return changes.map(({ to, change }) => [
    to,
    String(change.days),
    signed(change.areaMm2),
    change.percent ? signed(change.percent) : "",
    change.areaMm2PerWeek ? signed(change.areaMm2PerWeek) : "",
    change.edgeMmPerWeek ? signed(change.edgeMmPerWeek) : "",
  ]);
}

function isMeasured(visit: SeriesVisit): visit is SeriesVisit & MeasuredVisit {
  return visit.areaMm2 !== null && visit.perimeterMm !== null;
}

/** The last visit against the first, and against the one before it. */
function sentencesOf(known: readonly MeasuredVisit[], changes: readonly VisitChange[]): string[] {
  const last = changes.at(-1);
  if (!last) return [];
  const [before, now] = known.slice(-2) as [MeasuredVisit, MeasuredVisit];
  return [changeSentence(last), ...(changes.length > 1 ? [changeSentence(changeBetween(before, now))] : [])];
}

function section(document: PDFKit.PDFDocument, title: string, lines: readonly string[], size = 9): void {
  if (lines.length === 0) return;
  const width = mm(CONTENT_WIDTH_MM);
  document.moveDown(0.5).font("bold").fontSize(11).text(title, { width });
  document.font("regular").fontSize(size);
  for (const line of lines) document.text(line, { width, paragraphGap: 1.5 });
}

/** "312 ± 9 mm²": decimals chosen so that the interval shows two figures at most. */
function withInterval(measured: Measured, unit: string, decimals: number): string {
  const text = `${measured.value.toFixed(decimals)} ± ${measured.u95.toFixed(decimals)}`;
  return unit ? `${text} ${unit}` : text;
}

/** A ratio in the trade's way: 1:4.02, or 2:1 where the picture is larger than life. */
function ratioWords(magnification: number): string {
  return magnification >= 1.005 ? `${magnification.toFixed(2)}:1` : `1:${(1 / magnification).toFixed(2)}`;
}
