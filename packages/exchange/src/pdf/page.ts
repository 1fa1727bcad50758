import { createRequire } from "node:module";

/** Points (1/72 inch) in a millimetre: PDF's own unit. @source ISO32000 */
export const POINTS_PER_MM = 72 / 25.4;

export const mm = (value: number): number => value * POINTS_PER_MM;

/** Portrait sheets that a page can be made for. */
export const PAPERS = {
  a4: { widthMm: 210, heightMm: 297 },
  letter: { widthMm: 215.9, heightMm: 279.4 },
} as const;
export type Paper = keyof typeof PAPERS;

/** A4, portrait; margins leave room for the strips that printers cannot reach. */
export const PAGE = { ...PAPERS.a4, marginMm: 16 } as const;
export const CONTENT_WIDTH_MM = PAGE.widthMm - 2 * PAGE.marginMm;

const require = createRequire(import.meta.url);
const fontFile = (weight: 400 | 700) =>
  require.resolve(
    `@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-${weight}-normal.woff`,
  );

/**
 * An empty document for print: black on white, our font, and the viewer told not to scale the page, as sizes matter.
 * @param madeAt becomes the document's date; the same input gives the same bytes
 */
export async function newDocument(title: string, madeAt: Date): Promise<PDFKit.PDFDocument> {
  const { default: PDFDocument } = await import("pdfkit"); // a quarter of a second that most commands never need
  const document = new PDFDocument({
    size: "A4",
    margin: mm(PAGE.marginMm),
    bufferPages: true,
    autoFirstPage: false,
    pdfVersion: "1.7",
    lang: "en",
    tagged: true,
    displayTitle: true,
    info: { Title: title, Creator: "Samescale", CreationDate: madeAt, ModDate: madeAt },
  });
  document.registerFont("regular", fontFile(400));
  document.registerFont("bold", fontFile(700));
  document.font("regular");
  tellViewerNotToScale(document);
  return document;
}

/** ISO 32000-1, table 150: PrintScaling None. pdfkit has no option for it, so its catalogue is reached into. */
function tellViewerNotToScale(document: PDFKit.PDFDocument): void {
  interface Dictionary {
    readonly data: { ViewerPreferences: Dictionary; PrintScaling?: string };
  }
  const { _root } = document as unknown as { _root: Dictionary };
  _root.data.ViewerPreferences.data.PrintScaling = "None";
}

/** The document's bytes, once every page is drawn. */
export function bytesOf(document: PDFKit.PDFDocument): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const parts: Buffer[] = [];
    document.on("data", (part: Buffer) => parts.push(part));
    document.on("end", () => resolve(Buffer.concat(parts)));
    document.on("error", reject);
    document.end();
  });
}

/** Writes "page x of y" and what the pages are about (a request's code) and the date at the foot of every page. */
export function footers(document: PDFKit.PDFDocument, subject: string, dateIso: string): void {
  const { start, count } = document.bufferedPageRange();
  for (let i = start; i < start + count; i++) {
    document.switchToPage(i);
    // The foot lies in the bottom margin, where pdfkit would otherwise begin a new page.
    const bottom = document.page.margins.bottom;
    document.page.margins.bottom = 0;
    const y = document.page.height - mm(11);
    const text = { width: document.page.width - 2 * mm(PAGE.marginMm), lineBreak: false } as const;
    document.font("regular").fontSize(8.5).fillColor("#000");
    document.text(`${subject} · ${dateIso}`, mm(PAGE.marginMm), y, text);
    document.text(`page ${i - start + 1} of ${count}`, mm(PAGE.marginMm), y, { ...text, align: "right" });
    document.page.margins.bottom = bottom;
  }
}

/**
 * A line of exactly 100 mm with end strokes and what to do with it: the reader's proof that the print is true to
 * size.
 * @param yMm height of the line on the page
 * @param where the words stand: beside the line there is room for few
 */
export function checkLine(
  document: PDFKit.PDFDocument,
  xMm: number,
  yMm: number,
  words = "100 mm when printed without scaling. Measure it before you measure anything else.",
  where: "below" | "beside" = "below",
): void {
  const y = mm(yMm);
  document.lineWidth(0.6).strokeColor("#000").lineCap("butt");
  document
    .moveTo(mm(xMm), y)
    .lineTo(mm(xMm + 100), y)
    .stroke();
  for (let tickMm = 0; tickMm <= 100; tickMm += 10) {
    const half = tickMm % 50 === 0 ? 2.2 : 1.1;
    document
      .lineWidth(0.25)
      .moveTo(mm(xMm + tickMm), y - mm(half))
      .lineTo(mm(xMm + tickMm), y + mm(half))
      .stroke();
  }
  const [wordsXMm, down] = where === "below" ? [xMm, 3] : [xMm + 103, -1.5];
  document
    .font("regular")
    .fontSize(8.5)
    .fillColor("#000")
    .text(words, mm(wordsXMm), y + mm(down), { width: mm(CONTENT_WIDTH_MM), lineBreak: false });
}
