import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import {
  type Position,
  prepareZXingModule,
  type ReadInputBarcodeFormat,
  readBarcodes,
} from "zxing-wasm/reader";
import { centreOf, mapped, type Quadrangle } from "./quadrangle.ts";

/**
 * Formats that are looked for, by the library's name, with the name in our answers. Code 39 is asked for in its
 * standard form only: the library would otherwise turn some Code 39 texts into numbers of another system
 * (`HN1234` into a nine-digit Code 32 number), which would be a wrong patient number.
 */
const FORMATS = {
  Code128: "code128",
  Code39Std: "code39",
  Code93: "code93",
  Codabar: "codabar",
  ITF: "itf",
  EAN13: "ean13",
  EAN8: "ean8",
  UPCA: "upca",
  UPCE: "upce",
  QRCode: "qr",
  MicroQRCode: "microqr",
  DataMatrix: "datamatrix",
  PDF417: "pdf417",
  Aztec: "aztec",
} as const satisfies Partial<Record<ReadInputBarcodeFormat, string>>;

export type CodeFormat = (typeof FORMATS)[keyof typeof FORMATS];

/** What the library calls a found symbol where that is not what was asked for. */
const FOUND_AS: Readonly<Record<string, CodeFormat>> = {
  ...FORMATS,
  Code39: "code39",
  QRCodeModel2: "qr",
  AztecCode: "aztec",
  CompactPDF417: "pdf417",
};

/** Symbols made of bars in one direction: they are read only when that direction is nearly known. */
export const BARRED_FORMATS = [
  "Code128",
  "Code39Std",
  "Code93",
  "Codabar",
  "ITF",
  "EAN13",
  "EAN8",
  "UPCA",
  "UPCE",
  "PDF417",
] as const;
export const SQUARE_FORMATS = ["QRCode", "MicroQRCode", "DataMatrix", "Aztec"] as const;
export const ALL_FORMATS = Object.keys(FORMATS) as (keyof typeof FORMATS)[];

/** Grey pixels, one byte each. */
export interface GreyBytes {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly grey: Uint8Array;
}

export interface Hit {
  readonly format: CodeFormat;
  readonly text: string;
  /** ISO/IEC 15424 symbology identifier, such as `]C1` for GS1-128. */
  readonly aim: string;
  /** The symbol's own top left, top right, bottom right, bottom left, in pixels of what was scanned. */
  readonly corners: Quadrangle;
  readonly mirrored: boolean;
  /** Which part of how many, for a message spread over several symbols. */
  readonly part: { readonly index: number; readonly of: number } | null;
}

let ready: Promise<unknown> | null = null;

/** The library would fetch its program from a public server; it is given the file of the installed package. */
function prepared(): Promise<unknown> {
  ready ??= (async () => {
    const file = fileURLToPath(import.meta.resolve("zxing-wasm/reader/zxing_reader.wasm"));
    const bytes = await readFile(file);
    const wasmBinary = bytes.buffer.slice(
      bytes.byteOffset,
      bytes.byteOffset + bytes.byteLength,
    ) as ArrayBuffer;
    await prepareZXingModule({ overrides: { wasmBinary }, fireImmediately: true });
  })();
  return ready;
}

const EFFORT = {
  all: { tryHarder: true, tryDenoise: true },
  clean: { tryHarder: true, tryDenoise: false },
  once: { tryHarder: true, tryDenoise: false, tryInvert: false, tryDownscale: false },
} as const;

/**
 * All readable symbols of a picture; formats that were not asked for are dropped, whatever the library says.
 * @param effort "clean" leaves out what noise needs; "once" for a crop that was made for the code: dark on light, at its best size
 */
export async function scan(
  picture: GreyBytes,
  formats: readonly (keyof typeof FORMATS)[],
  effort: keyof typeof EFFORT = "all",
): Promise<Hit[]> {
  await prepared();
  const found = await readBarcodes(
    pgm(picture),
    // Plain: the text as it is in the symbol, without brackets around GS1 identifiers.
    { formats: [...formats], ...EFFORT[effort], textMode: "Plain" },
  );
  const hits: Hit[] = [];
  for (const result of found) {
    const format = FOUND_AS[result.format];
    if (!result.isValid || !format || result.text === "") continue;
    hits.push({
      format,
      text: result.text,
      aim: result.symbologyIdentifier,
      corners: outerCorners(result.position, format),
      mirrored: result.isMirrored,
      part: result.sequenceSize > 1 ? { index: result.sequenceIndex, of: result.sequenceSize } : null,
    });
  }
  return hits;
}

/**
 * As a file of the plainest format: the library takes grey pixels in no other way, and turning four channels of them
 * back into one takes it as long as a quarter of its search.
 */
function pgm({ widthPx, heightPx, grey }: GreyBytes): Uint8Array {
  const head = Buffer.from(`P5\n${widthPx} ${heightPx}\n255\n`);
  const file = new Uint8Array(head.length + grey.length);
  file.set(head);
  file.set(grey, head.length);
  return file;
}

/** In these the library's corners are points between pixels already. */
const CORNERS_BETWEEN_PIXELS: ReadonlySet<CodeFormat> = new Set(["qr", "microqr", "aztec", "pdf417"]);

/**
 * The library names the outermost pixels of the other symbols (measured on drawn ones): the corner lies half a
 * pixel further out than that pixel's centre.
 */
function outerCorners(position: Position, format: CodeFormat): Quadrangle {
  const { topLeft, topRight, bottomRight, bottomLeft } = position;
  const pixels: Quadrangle = [
    [topLeft.x, topLeft.y],
    [topRight.x, topRight.y],
    [bottomRight.x, bottomRight.y],
    [bottomLeft.x, bottomLeft.y],
  ];
  if (CORNERS_BETWEEN_PIXELS.has(format)) return pixels;
  const centre = centreOf(pixels);
  return mapped(pixels, ([x, y]) => [
    x + 0.5 + 0.5 * Math.sign(x - centre.x),
    y + 0.5 + 0.5 * Math.sign(y - centre.y),
  ]);
}
