import type { PictureKind } from "../decode/picture-kind.ts";

/** How far the reader of a chroma-reduced picture looks beyond its block, px. */
const CHROMA_PX = 2;
/** How far a reduction looks: a Lanczos window of 3 px to each side and the block that the loader reduced by, px of the result. */
const REDUCING_PX = 5;

/**
 * Block of the coding, px: within it, the values that can be seen say something of those that are covered, as all of
 * them came from the same few coefficients. So a mask covers every block that it touches.
 * @source JpegT81, A.2 (the minimum coded unit: 8 px times the largest sampling factor)
 */
function blockPx(kind: PictureKind, chromaSubsampling: string | undefined): number {
  switch (kind) {
    case "jpeg":
      if (chromaSubsampling === "4:4:4") return 8;
      return chromaSubsampling === "4:2:0" || chromaSubsampling === "4:2:2" ? 16 : 32;
    case "heif":
      return 64; // the largest coding block
    case "webp":
    case "tiff": // may hold JPEG strips
      return 16;
    case "raw":
      return 8; // developing looks at neighbours
    case "png":
      return 0;
  }
}

/** By how many pixels of the outgoing picture a mask is widened, so that nothing outside tells of what is inside. */
export function reachPx(
  kind: PictureKind,
  chromaSubsampling: string | undefined,
  pxPerOriginalPx: number,
): number {
  const block = blockPx(kind, chromaSubsampling);
  const inOriginal = block === 0 ? 0 : block + CHROMA_PX;
  return Math.ceil(inOriginal * pxPerOriginalPx) + (pxPerOriginalPx < 1 ? REDUCING_PX : 1);
}
