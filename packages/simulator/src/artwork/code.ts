import { SamescaleError } from "@samescale/errors";
import bwipjs from "bwip-js";
import type { Ring } from "./mark.ts";
import { rect } from "./shapes.ts";

export type CodeFormat = "qr" | "datamatrix" | "code128" | "pdf417" | "aztec";

const SYMBOL: Readonly<Record<CodeFormat, string>> = {
  qr: "qrcode",
  datamatrix: "datamatrix",
  code128: "code128",
  pdf417: "pdf417",
  aztec: "azteccode",
};

export interface CodeArt {
  readonly rings: readonly Ring[];
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The dark parts of a code, its top left corner at (0, 0), without a quiet zone. A linear code gets `heightMm`. */
export function codeArt(
  format: CodeFormat,
  text: string,
  widthMm: number,
  heightMm = widthMm * 0.3,
): CodeArt {
  const symbol = rawSymbol(format, text);
  if (symbol.sbs) {
    const total = symbol.sbs.reduce((sum, bar) => sum + bar, 0);
    const module = widthMm / total;
    const rings: Ring[] = [];
    let x = 0;
    symbol.sbs.forEach((bar, i) => {
      if (i % 2 === 0) rings.push(rect(x * module, 0, (x + bar) * module, heightMm));
      x += bar;
    });
    return { rings, widthMm, heightMm };
  }
  const { pixs = [], pixx = 1, pixy = 1 } = symbol;
  const module = widthMm / pixx;
  // The raw symbol of a stacked code has one row per row of bars; its modules are three times as high as wide.
  const moduleHeight = format === "pdf417" ? module * 3 : module;
  const rings: Ring[] = [];
  for (let y = 0; y < pixy; y++) {
    for (let x = 0; x < pixx; x++) {
      if (!pixs[y * pixx + x]) continue;
      const start = x;
      while (x + 1 < pixx && pixs[y * pixx + x + 1]) x++;
      rings.push(rect(start * module, y * moduleHeight, (x + 1) * module, (y + 1) * moduleHeight));
    }
  }
  return { rings, widthMm, heightMm: pixy * moduleHeight };
}

interface RawSymbol {
  readonly pixs?: readonly number[];
  readonly pixx?: number;
  readonly pixy?: number;
  readonly sbs?: readonly number[];
}

function rawSymbol(format: CodeFormat, text: string): RawSymbol {
  try {
    const symbol = (bwipjs.raw({ bcid: SYMBOL[format], text }) as readonly RawSymbol[])[0];
    if (symbol) return symbol;
  } catch (cause) {
    throw new SamescaleError(
      "SIM_CODE",
      `The text "${text}" cannot be written as ${format}: ${(cause as Error).message}`,
      "Choose another code or a shorter text.",
      { cause },
    );
  }
  throw new SamescaleError("SIM_CODE", `Nothing was drawn for ${format}`, "Choose another code.");
}
