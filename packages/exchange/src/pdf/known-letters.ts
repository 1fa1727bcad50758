/** What stands for a letter that the font of the page lacks: seen to be missing, not an empty box. */
const UNKNOWN = "?";

/**
 * A text with every letter that the document's font cannot draw replaced. pdfkit has no question for it, so its font
 * is reached into.
 */
export function inKnownLetters(document: PDFKit.PDFDocument, text: string): string {
  const { _font } = document as unknown as {
    _font: { font: { hasGlyphForCodePoint(codePoint: number): boolean } };
  };
  return [...text]
    .map((letter) => (_font.font.hasGlyphForCodePoint(letter.codePointAt(0)!) ? letter : UNKNOWN))
    .join("");
}
