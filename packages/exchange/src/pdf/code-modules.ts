import { SamescaleError } from "@samescale/errors";
import bwipjs from "bwip-js";

/** The dark parts of a square code as rows of black, in shares of the code's side. */
export interface CodeRun {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** A Data Matrix symbol without its blank margin. @throws SamescaleError CODE_NOT_DRAWN */
export const dataMatrix = (text: string): CodeRun[] => runsOf(rawSymbol("datamatrix", text));

/** A QR code without its blank margin, and how many modules its side has. @throws SamescaleError CODE_NOT_DRAWN */
export function qrCode(text: string): { readonly runs: readonly CodeRun[]; readonly modules: number } {
  const symbol = rawSymbol("qrcode", text);
  return { runs: runsOf(symbol), modules: symbol.pixx };
}

function runsOf({ pixs, pixx, pixy }: RawSymbol): CodeRun[] {
  const runs: CodeRun[] = [];
  for (let row = 0; row < pixy; row++) {
    for (let column = 0; column < pixx; column++) {
      const first = column;
      while (column < pixx && pixs[row * pixx + column]) column++;
      if (column > first) {
        runs.push({ x: first / pixx, y: row / pixy, width: (column - first) / pixx, height: 1 / pixy });
      }
    }
  }
  return runs;
}

interface RawSymbol {
  readonly pixs: readonly number[];
  readonly pixx: number;
  readonly pixy: number;
}

function rawSymbol(kind: "datamatrix" | "qrcode", text: string): RawSymbol {
  try {
    return (bwipjs.raw({ bcid: kind, text }) as unknown as readonly [RawSymbol])[0];
  } catch (cause) {
    throw new SamescaleError(
      "CODE_NOT_DRAWN",
      `The text "${text}" cannot be written as a code: ${(cause as Error).message}`,
      "Choose a shorter text of plain letters and digits.",
      { cause },
    );
  }
}
