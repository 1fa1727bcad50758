import type { CardView, ShotCard } from "../card/shot-card.ts";
import { drawFigure } from "./card-figure.ts";
import { qrCode } from "./code-modules.ts";
import { inKnownLetters } from "./known-letters.ts";
import { bytesOf, CONTENT_WIDTH_MM, checkLine, footers, mm, newDocument, PAGE } from "./page.ts";

/** Large enough to be read from a photograph of the whole page. */
const CODE_MM = 36;
const TOP_MM = 13;
/** Lowest edge of a row: above the check line. */
const LINE_MM = PAGE.heightMm - 19.5;
const LAST_ROW_MM = LINE_MM - 3;
const LEAST_ROW_MM = 19;
const ROW_GAP_MM = 1.4;

/** Columns of a row, from the left margin. */
const TICK = { xMm: 0, widthMm: 9 } as const;
const FIGURE = { xMm: 10, widthMm: 31 } as const;
const TEXT = { xMm: 44, widthMm: 84 } as const;
const NUMBERS = { xMm: 131, widthMm: CONTENT_WIDTH_MM - 131 } as const;

/** The shot card as PDF, A4: code in the corner, cautions on top, one row for each view. */
export async function shotCardPdf(given: ShotCard): Promise<Buffer> {
  const document = await newDocument(`Shot card ${given.requestCode}`, given.madeAt);
  const card = readable(document, given);
  let yMm = firstPage(document, card);
  card.views.forEach((view, i) => {
    const heightMm = rowHeightMm(document, view);
    if (yMm + heightMm > LAST_ROW_MM) yMm = nextPage(document, card);
    drawRow(document, view, i + 1, yMm, heightMm);
    yMm += heightMm + ROW_GAP_MM;
  });
  for (const { name, reason } of card.refused) {
    const says = `Cannot be made here: ${name}. ${reason}`;
    const heightMm = textMm(document, says, CONTENT_WIDTH_MM, 9);
    if (yMm + heightMm > LAST_ROW_MM) yMm = nextPage(document, card);
    document
      .font("bold")
      .fontSize(9)
      .text(says, mm(PAGE.marginMm), mm(yMm), { width: mm(CONTENT_WIDTH_MM) });
    yMm += heightMm + 1;
  }
  footers(document, `Shot card ${card.requestCode}`, card.madeAt.toISOString().slice(0, 10));
  return await bytesOf(document);
}

/** Every text that is drawn as text; the code carries any letter. */
function readable(document: PDFKit.PDFDocument, card: ShotCard): ShotCard {
  const known = (text: string): string => inKnownLetters(document, text);
  const knownOrNone = (text: string | null): string | null => (text === null ? null : known(text));
  return {
    ...card,
    department: known(card.department),
    requestCode: known(card.requestCode),
    patientNumber: knownOrNone(card.patientNumber),
    patientName: knownOrNone(card.patientName),
    title: known(card.title),
    setting: card.setting.map(known),
    cautions: card.cautions.map(known),
    usual: card.usual.map(known),
    refused: card.refused.map(({ name, reason }) => ({ name: known(name), reason: known(reason) })),
    views: card.views.map((view) => ({
      ...view,
      name: known(view.name),
      shows: known(view.shows),
      lens: known(view.lens),
      scale: knownOrNone(view.scale),
      notes: view.notes.map(known),
    })),
  };
}

function firstPage(document: PDFKit.PDFDocument, card: ShotCard): number {
  document.addPage();
  drawCode(document, card);
  const widthMm = CONTENT_WIDTH_MM - CODE_MM - 8;
  const width = mm(widthMm);
  const x = mm(PAGE.marginMm);
  document.fillColor("#000").font("regular").fontSize(9.5).text(card.department, x, mm(TOP_MM), { width });
  document.font("bold").fontSize(fitting(document, card.requestCode, widthMm, 32));
  document.text(card.requestCode, { width, lineGap: -2 });
  document.font("bold").fontSize(14).text(card.title, { width });
  document.font("regular").fontSize(10.5).text(card.setting.join(" · "), { width });
  const patient = [card.patientName, card.patientNumber].filter((part) => part !== null).join(" · ");
  if (patient !== "") document.font("bold").fontSize(12.5).text(patient, { width });
  const belowText = drawCautions(document, card.cautions, document.y / mm(1) + 2, widthMm);
  checkLine(document, PAGE.marginMm, LINE_MM, "100 mm when printed without scaling.", "beside");
  return drawUsual(document, card.usual, Math.max(belowText, TOP_MM + CODE_MM + 7));
}

function nextPage(document: PDFKit.PDFDocument, card: ShotCard): number {
  document.addPage();
  document.fillColor("#000").font("bold").fontSize(14);
  document.text(`${card.requestCode} · ${card.title}, continued`, mm(PAGE.marginMm), mm(TOP_MM), {
    width: mm(CONTENT_WIDTH_MM),
  });
  return document.y / mm(1) + 4;
}

function drawCode(document: PDFKit.PDFDocument, { codeText }: ShotCard): void {
  const { runs, modules } = qrCode(codeText);
  // Four modules of white round the symbol (ISO/IEC 18004) lie within the margin and the gap to the text.
  const xMm = PAGE.widthMm - PAGE.marginMm - CODE_MM;
  const moduleMm = CODE_MM / modules;
  document.fillColor("#000");
  for (const { x, y, width, height } of runs) {
    // A hair's overlap: viewers otherwise show white seams between rows.
    document.rect(
      mm(xMm + x * CODE_MM),
      mm(TOP_MM + y * CODE_MM),
      mm(width * CODE_MM),
      mm(height * CODE_MM + moduleMm * 0.02),
    );
  }
  document.fill();
  document.font("regular").fontSize(8.5);
  document.text("Photograph this card first.", mm(xMm - 6), mm(TOP_MM + CODE_MM + 1.6), {
    width: mm(CODE_MM + 6),
    align: "right",
    lineBreak: false,
  });
}

function drawCautions(
  document: PDFKit.PDFDocument,
  cautions: readonly string[],
  yMm: number,
  boxMm: number,
): number {
  if (cautions.length === 0) return yMm;
  const insetMm = 7;
  const widthMm = boxMm - insetMm - 3;
  const heights = cautions.map((says) => textMm(document, says, widthMm, 9.5) + 0.8);
  const heightMm = heights.reduce((sum, height) => sum + height, 0) + 2.6;
  document.lineWidth(1).strokeColor("#000");
  document.rect(mm(PAGE.marginMm), mm(yMm), mm(boxMm), mm(heightMm)).stroke();
  let atMm = yMm + 2;
  cautions.forEach((says, i) => {
    document.fillColor("#000").font("bold").fontSize(12);
    document.text("!", mm(PAGE.marginMm + 3), mm(atMm - 0.6), { lineBreak: false });
    document.font("regular").fontSize(9.5);
    document.text(says, mm(PAGE.marginMm + insetMm), mm(atMm), { width: mm(widthMm) });
    atMm += heights[i]!;
  });
  return yMm + heightMm + 4;
}

function drawUsual(document: PDFKit.PDFDocument, usual: readonly string[], yMm: number): number {
  document.fillColor("#000").font("bold").fontSize(9.5);
  document.text("Unless a view says otherwise: ", mm(PAGE.marginMm), mm(yMm), {
    width: mm(CONTENT_WIDTH_MM),
    continued: true,
  });
  document.font("regular").text(usual.join(" "));
  return document.y / mm(1) + 2.5;
}

interface Line {
  readonly text: string;
  readonly size: number;
  readonly font: "regular" | "bold";
}

const textLines = (view: CardView): Line[] => [
  { text: view.name, size: 12, font: "bold" },
  { text: view.scale === null ? `${view.shows}, no scale` : view.shows, size: 8.5, font: "regular" },
  ...(view.scale === null ? [] : [{ text: view.scale, size: 9, font: "bold" } as const]),
  ...(view.notes.length === 0 ? [] : [{ text: view.notes.join(" "), size: 8.5, font: "regular" } as const]),
];

const numberLines = (view: CardView): Line[] => [
  { text: view.ratio, size: 24, font: "bold" },
  { text: `${view.distance}   ${view.aperture}`, size: 13, font: "bold" },
  { text: view.lens, size: 9, font: "regular" },
];

const linesMm = (document: PDFKit.PDFDocument, lines: readonly Line[], widthMm: number): number =>
  lines.reduce((sum, { text, size, font }) => sum + textMm(document.font(font), text, widthMm, size), 0);

function rowHeightMm(document: PDFKit.PDFDocument, view: CardView): number {
  const text = linesMm(document, textLines(view), TEXT.widthMm);
  const numbers = linesMm(document, numberLines(view), NUMBERS.widthMm);
  return Math.max(LEAST_ROW_MM, text + 2.2, numbers + 1);
}

function drawRow(
  document: PDFKit.PDFDocument,
  view: CardView,
  number: number,
  yMm: number,
  heightMm: number,
): void {
  const left = PAGE.marginMm;
  document.lineWidth(0.4).strokeColor("#000");
  document
    .moveTo(mm(left), mm(yMm))
    .lineTo(mm(left + CONTENT_WIDTH_MM), mm(yMm))
    .stroke();
  const topMm = yMm + 1.6;
  document.fillColor("#000").font("bold").fontSize(17);
  document.text(String(number), mm(left), mm(topMm - 0.6), { width: mm(TICK.widthMm - 1), lineBreak: false });
  document
    .lineWidth(1)
    .rect(mm(left + 0.3), mm(topMm + 8), mm(7), mm(7))
    .stroke();
  drawFigure(document, view.figure, {
    xMm: left + FIGURE.xMm,
    yMm: yMm + 0.6,
    widthMm: FIGURE.widthMm,
    heightMm: Math.min(heightMm, 28),
  });
  drawLines(document, textLines(view), left + TEXT.xMm, topMm, TEXT.widthMm);
  drawLines(document, numberLines(view), left + NUMBERS.xMm, topMm - 1.6, NUMBERS.widthMm);
}

function drawLines(
  document: PDFKit.PDFDocument,
  lines: readonly Line[],
  xMm: number,
  yMm: number,
  widthMm: number,
): void {
  document.fillColor("#000");
  document.x = mm(xMm);
  document.y = mm(yMm);
  for (const { text, size, font } of lines) {
    document
      .font(font)
      .fontSize(size)
      .text(text, { width: mm(widthMm) });
  }
}

const textMm = (document: PDFKit.PDFDocument, text: string, widthMm: number, size: number): number =>
  document.fontSize(size).heightOfString(text, { width: mm(widthMm) }) / mm(1);

/** The size at which a text fits one line; request codes may have 32 letters. */
function fitting(document: PDFKit.PDFDocument, text: string, widthMm: number, most: number): number {
  const wide = document.fontSize(most).widthOfString(text);
  return Math.min(most, (most * mm(widthMm)) / wide);
}
