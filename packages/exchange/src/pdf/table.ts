import { CONTENT_WIDTH_MM, mm, PAGE } from "./page.ts";

export interface Column {
  readonly title: string;
  readonly widthMm: number;
}

const ROW_MM = 6.2;

/** A plain table with a rule under every row; text that is too long for its column is cut. Gives the y below it. */
export function drawTable(
  document: PDFKit.PDFDocument,
  topMm: number,
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
): number {
  [columns.map((c) => c.title), ...rows].forEach((row, r) => {
    let xMm: number = PAGE.marginMm;
    const y = mm(topMm + r * ROW_MM);
    document
      .font(r === 0 ? "bold" : "regular")
      .fontSize(9)
      .fillColor("#000");
    columns.forEach((column, c) => {
      document.text(row[c] ?? "", mm(xMm), y, { width: mm(column.widthMm), lineBreak: false });
      xMm += column.widthMm;
    });
    document
      .lineWidth(r === 0 ? 0.6 : 0.2)
      .moveTo(mm(PAGE.marginMm), y + mm(ROW_MM - 1.4))
      .lineTo(mm(PAGE.marginMm + CONTENT_WIDTH_MM), y + mm(ROW_MM - 1.4))
      .stroke();
  });
  return topMm + (rows.length + 1) * ROW_MM;
}
