import { type CardFigure, PEN_WIDTHS } from "../card/shot-card.ts";
import { mm } from "./page.ts";

const OUTSIDE = "#b4b4b4";

/** Draws a line figure into a box of the page, as large as it fits, the picture's edge round it. */
export function drawFigure(
  document: PDFKit.PDFDocument,
  { window, frame, strokes, letters, letterMm }: CardFigure,
  box: { readonly xMm: number; readonly yMm: number; readonly widthMm: number; readonly heightMm: number },
): void {
  const scale = Math.min(mm(box.widthMm) / window.width, mm(box.heightMm) / window.height);
  const left = mm(box.xMm) + (mm(box.widthMm) - window.width * scale) / 2;
  const top = mm(box.yMm) + (mm(box.heightMm) - window.height * scale) / 2;
  const onPage = (x: number, y: number): [number, number] => [
    left + (x - window.x) * scale,
    top + (y - window.y) * scale,
  ];
  const edge = (part: typeof frame): [number, number, number, number] => [
    ...onPage(part.x, part.y),
    part.width * scale,
    part.height * scale,
  ];
  for (const [part, colour] of [
    [window, OUTSIDE],
    [frame, "#000"],
  ] as const) {
    document
      .save()
      .rect(...edge(part))
      .clip();
    document
      .translate(...onPage(0, 0))
      .scale(scale)
      .lineCap("round")
      .lineJoin("round")
      .strokeColor(colour);
    for (const { path, pen } of strokes) {
      document.path(path).lineWidth(PEN_WIDTHS[pen] / scale);
      if (pen === "thing") document.fillAndStroke("#fff", colour);
      else document.stroke();
    }
    document.restore();
  }
  document
    .lineWidth(0.7)
    .strokeColor("#000")
    .rect(...edge(frame))
    .stroke();
  document.font("bold").fontSize(letterMm * scale);
  for (const { text, x, y } of letters) {
    const [px, py] = onPage(x, y);
    const half = (letterMm * scale) / 2;
    document.circle(px, py, half).fill("#fff").fillColor("#000");
    document.text(text, px - half, py - half * 1.15, { width: 2 * half, align: "center", lineBreak: false });
  }
}
