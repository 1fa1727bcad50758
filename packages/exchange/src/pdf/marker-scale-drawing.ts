import { codeTextOf, type Lettering, type MarkerDesign, markerDesign, type ScaleId } from "@samescale/marker";
import { dataMatrix } from "./code-modules.ts";
import { mm } from "./page.ts";

/** What a design takes of a sheet. */
export interface Extent {
  readonly leftMm: number;
  readonly topMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

export function extentOf({ outline }: MarkerDesign): Extent {
  const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)];
  const [leftMm, topMm] = [Math.min(...xs), Math.min(...ys)];
  return { leftMm, topMm, widthMm: Math.max(...xs) - leftMm, heightMm: Math.max(...ys) - topMm };
}

/** Draws a scale at true size, the top left corner of its extent at a place of the page. */
export function drawMarkerScale(
  document: PDFKit.PDFDocument,
  kind: MarkerDesign["kind"],
  id: ScaleId,
  xMm: number,
  yMm: number,
): void {
  const design = markerDesign(kind, id);
  const { leftMm, topMm } = extentOf(design);
  document
    .save()
    .translate(mm(xMm - leftMm), mm(yMm - topMm))
    .fillColor("#000");
  const [first, ...others] = design.outline.map(([x, y]) => [mm(x), mm(y)] as const);
  document.moveTo(...first!);
  for (const point of others) document.lineTo(...point);
  document.closePath().lineWidth(mm(CUT_LINE_MM)).strokeColor("#8a8b88").stroke();
  for (const { x0, y0, x1, y1 } of design.bars) document.rect(mm(x0), mm(y0), mm(x1 - x0), mm(y1 - y0));
  const { x, y, sizeMm } = design.code;
  for (const run of dataMatrix(codeTextOf(id))) {
    const [left, top] = [x + run.x * sizeMm, y + run.y * sizeMm];
    document.rect(mm(left), mm(top), mm(run.width * sizeMm), mm(run.height * sizeMm));
  }
  // One fill for all: pieces that touch show no seam.
  document.fill("#000");
  for (const line of design.lettering) drawLettering(document, line);
  document.restore();
}

/** Thin and grey: a rest of it at the edge is not taken for a tick. */
const CUT_LINE_MM = 0.1;

function drawLettering(document: PDFKit.PDFDocument, { text, x, y, capHeightMm, align }: Lettering): void {
  document.font("regular").fillColor("#000");
  document.fontSize(mm(capHeightMm) / capHeightShare(document));
  const leftPoints = align === "middle" ? mm(x) - document.widthOfString(text) / 2 : mm(x);
  document.text(text, leftPoints, mm(y + capHeightMm / 2), { baseline: "alphabetic", lineBreak: false });
}

/** Height of capitals per font size. pdfkit's types leave the font out, so it is reached into. */
function capHeightShare(document: PDFKit.PDFDocument): number {
  return (document as unknown as { readonly _font: { readonly capHeight: number } })._font.capHeight / 1000;
}
