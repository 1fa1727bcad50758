import { type MarkerKind, markerDesign, type ScaleId } from "@samescale/marker";
import { drawMarkerScale, extentOf } from "./marker-scale-drawing.ts";
import { bytesOf, checkLine, footers, mm, newDocument, PAGE, PAPERS, type Paper } from "./page.ts";

export interface MarkerScaleSheets {
  readonly kind: MarkerKind;
  readonly paper: Paper;
  /** One a scale; of labels one a sheet, as they are printed, measured and used up together. */
  readonly ids: readonly ScaleId[];
  readonly madeAt: Date;
  /** Said below the instructions. */
  readonly cautions: readonly string[];
}

const TITLES: Readonly<Record<MarkerKind, string>> = {
  "straight-50": "Marker scale, 50 mm",
  "straight-150": "Marker scale, 150 mm",
  l: "Marker scale, L-shaped, 90 x 60 mm",
  label: "Marker scale, 2 cm labels",
};

/** Room for instructions and for the check line along the page. */
const HEAD_MM = 118;
const GAP_MM = 5;
const LINE_ALONG_TOP_MM = 14;

/** Our own scales at true size as PDF, with what to do before they are used on every page. */
export async function markerScalePdf(sheets: MarkerScaleSheets): Promise<Buffer> {
  const document = await newDocument(TITLES[sheets.kind], sheets.madeAt);
  const places = placesOn(sheets);
  const dateIso = sheets.madeAt.toISOString().slice(0, 10);
  const perPage = sheets.kind === "label" ? 1 : places.length;
  for (let first = 0; first < sheets.ids.length; first += perPage) {
    const ids = sheets.ids.slice(first, first + perPage);
    drawHead(document, sheets, ids, dateIso);
    places.forEach(([xMm, yMm], i) => {
      const id = sheets.kind === "label" ? ids[0] : ids[i];
      if (id) drawMarkerScale(document, sheets.kind, id, xMm, yMm);
    });
  }
  footers(document, TITLES[sheets.kind], dateIso);
  return await bytesOf(document);
}

/** Where the scales lie on a page, row by row. Labels share their cuts. */
function placesOn({ kind, paper, ids }: MarkerScaleSheets): (readonly [xMm: number, yMm: number])[] {
  const { widthMm, heightMm } = extentOf(markerDesign(kind, ids[0] as ScaleId));
  const gap = kind === "label" ? 0 : GAP_MM;
  const room = {
    widthMm: PAPERS[paper].widthMm - 2 * PAGE.marginMm,
    heightMm: PAPERS[paper].heightMm - HEAD_MM - PAGE.marginMm,
  };
  const columns = Math.floor((room.widthMm + gap) / (widthMm + gap));
  const rows = Math.floor((room.heightMm + gap) / (heightMm + gap));
  return Array.from({ length: columns * rows }, (_, i) => [
    PAGE.marginMm + (i % columns) * (widthMm + gap),
    HEAD_MM + Math.floor(i / columns) * (heightMm + gap),
  ]);
}

function drawHead(
  document: PDFKit.PDFDocument,
  { kind, paper, cautions }: MarkerScaleSheets,
  ids: readonly ScaleId[],
  dateIso: string,
): void {
  const { widthMm, heightMm } = PAPERS[paper];
  document.addPage({ size: [mm(widthMm), mm(heightMm)], margin: mm(PAGE.marginMm) });
  const width = mm(widthMm - 2 * PAGE.marginMm - 24);
  document
    .font("bold")
    .fontSize(16)
    .fillColor("#000")
    .text(TITLES[kind], mm(PAGE.marginMm), mm(14), { width });
  document.font("regular").fontSize(9.5).moveDown(0.4);
  stepsFor(ids, dateIso).forEach((step, i) => {
    document.text(`${i + 1}.  ${step}`, { width, indent: 0, paragraphGap: 2.5 });
  });
  document.moveDown(0.4).fontSize(8.5);
  for (const caution of cautions) document.text(caution, { width, paragraphGap: 1.5 });
  checkLine(document, PAGE.marginMm, HEAD_MM - 16, "Check line across the page: 100 mm at actual size.");
  const x = widthMm - PAGE.marginMm - 4;
  document.save().rotate(90, { origin: [mm(x), mm(LINE_ALONG_TOP_MM)] });
  checkLine(document, x, LINE_ALONG_TOP_MM, "Check line along the page: 100 mm at actual size.");
  document.restore();
}

/** What to type is written out: its ids are long and the date is known. */
function stepsFor(ids: readonly ScaleId[], dateIso: string): string[] {
  return [
    "Print this page at actual size (100 %). Switch off every fitting to the page.",
    "Lay the sheet flat. Measure both check lines, between the middles of their end strokes, with a rule that you trust.",
    "Enter what you measured, on one line: " +
      `samescale calibrate-scale ${ids.join(" ")} --printed-on ${dateIso} --across-mm … --along-mm … --by "your name" ` +
      '--instrument "what you measured with" --resolution-mm … --file calibrated-scales.json',
    "A line that is off by more than 2 % is not a matter of measuring: find out what scaled the page and print again.",
    "Cut along the grey lines. A film over the paper comes before measuring; a glossy one mirrors the flash.",
  ];
}
