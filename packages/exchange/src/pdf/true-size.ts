import type { Measured } from "@samescale/geometry";
import { inKnownLetters } from "./known-letters.ts";
import { bytesOf, CONTENT_WIDTH_MM, checkLine, footers, mm, newDocument, PAGE } from "./page.ts";

/** A picture that may be printed at the size of its subject; whether it may is decided before. */
export interface TrueSizePicture {
  readonly jpeg: Uint8Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** In the plane of the scale, over all that is printed. */
  readonly mmPerPx: Measured;
  /** What is printed; pixels of the picture. */
  readonly partPx: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
  readonly heading: string;
  /** What limits the sizes, a sentence each. */
  readonly notes: readonly string[];
}

export interface TrueSizePrint {
  readonly title: string;
  /** At the foot of every page: the request's code, or the release's mark. */
  readonly subject: string;
  readonly madeAt: Date;
  readonly pictures: readonly TrueSizePicture[];
}

/** Room for the picture on a page: under the heading, over the check line, right of the ruler. */
export const TRUE_SIZE_ROOM = { xMm: 26, yMm: 46, widthMm: 166, heightMm: 204 } as const;
/** What two neighbouring sheets both show, to lay them together by. */
const OVERLAP_MM = 10;

/** How many sheets a part takes at the size of its subject. */
export function trueSizeSheets(widthMm: number, heightMm: number): number {
  return tiles(widthMm, TRUE_SIZE_ROOM.widthMm).length * tiles(heightMm, TRUE_SIZE_ROOM.heightMm).length;
}

/**
 * Pictures at the size of their subject, on as many sheets as they need, each with a ruler in the margin and a line to measure
 * before anything else is measured.
 */
export async function trueSizePdf(print: TrueSizePrint): Promise<Buffer> {
  const document = await newDocument(`${print.title}, true size`, print.madeAt);
  for (const picture of print.pictures) {
    const image = openImage(document, picture.jpeg);
    const { partPx, mmPerPx } = picture;
    const columns = tiles(partPx.width * mmPerPx.value, TRUE_SIZE_ROOM.widthMm);
    const rows = tiles(partPx.height * mmPerPx.value, TRUE_SIZE_ROOM.heightMm);
    const sheets = rows.flatMap((row) => columns.map((column) => ({ row, column })));
    sheets.forEach(({ row, column }, i) => {
      document.addPage();
      heading(document, print, picture, sheets.length > 1 ? `sheet ${i + 1} of ${sheets.length}` : null);
      drawPart(document, image, picture, column, row);
      drawRulers(document, column.lengthMm, row.lengthMm);
      checkLine(
        document,
        TRUE_SIZE_ROOM.xMm,
        PAGE.heightMm - 27,
        "Measure this line: 100 mm. If it is not, no size on this sheet is true.",
      );
    });
  }
  footers(document, inKnownLetters(document, print.subject), print.madeAt.toISOString().slice(0, 10));
  return await bytesOf(document);
}

interface Tile {
  readonly startMm: number;
  readonly lengthMm: number;
}

/** A length in pieces that fit a sheet, each beginning where the one before still shows. */
function tiles(wholeMm: number, roomMm: number): Tile[] {
  const made: Tile[] = [];
  for (let startMm = 0; ; startMm += roomMm - OVERLAP_MM) {
    made.push({ startMm, lengthMm: Math.min(roomMm, wholeMm - startMm) });
    if (startMm + roomMm >= wholeMm - 1e-6) return made;
  }
}

type Image = Parameters<PDFKit.PDFDocument["image"]>[0];

/** Embedded once, whatever number of sheets shows it. pdfkit's types leave its way of doing so out. */
const openImage = (document: PDFKit.PDFDocument, jpeg: Uint8Array): Image =>
  (document as unknown as { openImage(bytes: Buffer): Image }).openImage(Buffer.from(jpeg));

function drawPart(
  document: PDFKit.PDFDocument,
  image: Image,
  picture: TrueSizePicture,
  column: Tile,
  row: Tile,
): void {
  const { xMm, yMm } = TRUE_SIZE_ROOM;
  const { partPx, mmPerPx } = picture;
  const window = [mm(xMm), mm(yMm), mm(column.lengthMm), mm(row.lengthMm)] as const;
  document
    .save()
    .rect(...window)
    .clip();
  document.image(
    image,
    mm(xMm - column.startMm - partPx.x * mmPerPx.value),
    mm(yMm - row.startMm - partPx.y * mmPerPx.value),
    { width: mm(picture.widthPx * mmPerPx.value), height: mm(picture.heightPx * mmPerPx.value) },
  );
  document.restore();
  document
    .lineWidth(0.2)
    .strokeColor("#000")
    .rect(...window)
    .stroke();
}

/** Millimetres of the paper, left of the picture and below it. */
function drawRulers(document: PDFKit.PDFDocument, widthMm: number, heightMm: number): void {
  const { xMm, yMm } = TRUE_SIZE_ROOM;
  document.font("regular").fontSize(7).fillColor("#000").strokeColor("#000").lineWidth(0.25);
  const lengthOf = (at: number) => (at % 10 === 0 ? 4 : at % 5 === 0 ? 2.8 : 1.6);
  for (let at = 0; at <= Math.floor(heightMm + 1e-6); at++) {
    const y = mm(yMm + at);
    document
      .moveTo(mm(xMm - 1), y)
      .lineTo(mm(xMm - 1 - lengthOf(at)), y)
      .stroke();
    if (at % 10 === 0)
      document.text(String(at), mm(xMm - 12), y - 3, { width: mm(6), align: "right", lineBreak: false });
  }
  const bottom = yMm + heightMm + 1;
  for (let at = 0; at <= Math.floor(widthMm + 1e-6); at++) {
    const x = mm(xMm + at);
    document
      .moveTo(x, mm(bottom))
      .lineTo(x, mm(bottom + lengthOf(at)))
      .stroke();
    if (at % 10 === 0)
      document.text(String(at), x - mm(4), mm(bottom + 4.4), {
        width: mm(8),
        align: "center",
        lineBreak: false,
      });
  }
}

function heading(
  document: PDFKit.PDFDocument,
  print: TrueSizePrint,
  picture: TrueSizePicture,
  sheet: string | null,
): void {
  const line = { width: mm(CONTENT_WIDTH_MM), height: mm(7), ellipsis: true };
  const known = (text: string) => inKnownLetters(document, text);
  document.font("bold").fontSize(15).fillColor("#000");
  document.text(known(print.title), mm(PAGE.marginMm), mm(12), line);
  const share = (100 * picture.mmPerPx.u95) / picture.mmPerPx.value;
  document.font("regular").fontSize(9.5);
  document.text(
    known([picture.heading, sheet].filter((part) => part !== null).join(" · ")),
    mm(PAGE.marginMm),
    mm(20),
    line,
  );
  document.fontSize(8.5);
  const words = [
    `True size in the plane of the scale, ± ${Math.max(0.1, share).toFixed(1)} % (95 %). What lies nearer to the camera or further away is shown larger or smaller.`,
    "Print at actual size (100 %), switch off every fitting to the page, then measure the line below the picture.",
    ...picture.notes,
  ];
  document.text(known(words.join(" ")), mm(PAGE.marginMm), mm(25.5), {
    width: mm(CONTENT_WIDTH_MM),
    height: mm(16),
    ellipsis: true,
  });
}
