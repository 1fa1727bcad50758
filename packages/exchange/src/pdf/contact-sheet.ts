import sharp from "sharp";
import { inKnownLetters } from "./known-letters.ts";
import { bytesOf, CONTENT_WIDTH_MM, footers, mm, newDocument, PAGE } from "./page.ts";

/** One frame on the sheet. */
export interface ContactFrame {
  /** Null: it is not shown here, and its place stays empty. */
  readonly jpeg: Uint8Array | null;
  /** What the view is called, or the file's name where nobody said. */
  readonly name: string;
  /** A second line: day, ratio, or why it is not shown. */
  readonly note: string;
}

export interface ContactSheetPrint {
  readonly title: string;
  readonly subject: string;
  readonly madeAt: Date;
  readonly frames: readonly ContactFrame[];
}

const COLUMNS = 3;
const ROWS = 4;
const GAP_MM = 5;
const TOP_MM = 26;
const CAPTION_MM = 10;
const TILE = {
  widthMm: (CONTENT_WIDTH_MM - GAP_MM * (COLUMNS - 1)) / COLUMNS,
  heightMm: 46,
} as const;
/** 300 dots per inch on the longer side of a tile. */
const TILE_PX = 660;

/** Many frames small, to find them by; nothing may be measured on it. */
export async function contactSheetPdf({
  title,
  subject,
  madeAt,
  frames,
}: ContactSheetPrint): Promise<Buffer> {
  const document = await newDocument(`${title}, contact sheet`, madeAt);
  const line = { width: mm(CONTENT_WIDTH_MM), height: mm(8), ellipsis: true };
  for (const [i, frame] of frames.entries()) {
    const place = i % (COLUMNS * ROWS);
    if (place === 0) {
      document.addPage();
      document.font("bold").fontSize(15).fillColor("#000");
      document.text(inKnownLetters(document, title), mm(PAGE.marginMm), mm(13), line);
      document.font("regular").fontSize(8.5);
      document.text(
        `${frames.length} ${frames.length === 1 ? "picture" : "pictures"}. Not to size: nothing may be measured here.`,
        mm(PAGE.marginMm),
        mm(20),
        line,
      );
    }
    const xMm = PAGE.marginMm + (place % COLUMNS) * (TILE.widthMm + GAP_MM);
    const yMm = TOP_MM + Math.floor(place / COLUMNS) * (TILE.heightMm + CAPTION_MM + GAP_MM);
    await drawTile(document, frame, xMm, yMm);
  }
  footers(document, inKnownLetters(document, subject), madeAt.toISOString().slice(0, 10));
  return await bytesOf(document);
}

async function drawTile(
  document: PDFKit.PDFDocument,
  frame: ContactFrame,
  xMm: number,
  yMm: number,
): Promise<void> {
  const box = [mm(xMm), mm(yMm), mm(TILE.widthMm), mm(TILE.heightMm)] as const;
  if (frame.jpeg === null) document.rect(...box).fill("#eeeeec");
  else {
    document.image(await small(frame.jpeg), box[0], box[1], {
      fit: [box[2], box[3]],
      align: "center",
      valign: "center",
    });
  }
  document
    .lineWidth(0.3)
    .strokeColor("#767676")
    .rect(...box)
    .stroke();
  const words = { width: box[2], height: mm(4.4), ellipsis: true, lineBreak: false };
  document.font("bold").fontSize(9).fillColor("#000");
  document.text(inKnownLetters(document, frame.name), box[0], mm(yMm + TILE.heightMm + 1), words);
  document.font("regular").fontSize(8.5);
  document.text(inKnownLetters(document, frame.note), box[0], mm(yMm + TILE.heightMm + 5), words);
}

const small = (jpeg: Uint8Array): Promise<Buffer> =>
  sharp(jpeg)
    .resize({ width: TILE_PX, height: TILE_PX, fit: "inside", withoutEnlargement: true })
    .jpeg({ quality: 85 })
    .toBuffer();
