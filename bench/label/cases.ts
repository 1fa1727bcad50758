import type { PrintedCode, Scene } from "../../packages/picture/test/label/scene.ts";

/** One picture: what is difficult about it, how much, and what is printed in it. */
export interface Case {
  readonly condition: string;
  readonly level: string;
  readonly formats: readonly string[];
  readonly texts: readonly string[];
  readonly scene: Scene;
}

const BARS = { height: 12 };
const SYMBOLS = {
  code128: { bcid: "code128", options: BARS, text: (r: Random) => `HN${digits(r, 7)}` },
  code39: { bcid: "code39", options: BARS, text: (r: Random) => `HN${digits(r, 4)}` },
  itf: { bcid: "interleaved2of5", options: BARS, text: (r: Random) => digits(r, 14) },
  pdf417: { bcid: "pdf417", options: {}, text: (r: Random) => `PATIENT ${digits(r, 10)}` },
  qr: { bcid: "qrcode", options: {}, text: (r: Random) => `SR1:R-${digits(r, 2)}:HN${digits(r, 5)}` },
  datamatrix: { bcid: "datamatrix", options: {}, text: (r: Random) => `A${digits(r, 16)}` },
  aztec: { bcid: "azteccode", options: {}, text: (r: Random) => digits(r, 12) },
} as const;

type Random = () => number;
type Format = keyof typeof SYMBOLS;
export const FORMATS = Object.keys(SYMBOLS) as Format[];

const digits = (random: Random, count: number): string =>
  Array.from({ length: count }, () => Math.floor(random() * 10)).join("");

const SMALL = { widthPx: 2000, heightPx: 1500 };
const LARGE = { widthPx: 6000, heightPx: 4000 };

/** A generator of numbers in [0, 1) with its own state. */
export function numbersFrom(seed: number): Random {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Every condition at every level in every format, once. The same seed gives the same pictures. */
export function casesOf(seed: number): Case[] {
  const random = numbersFrom(seed);
  const cases: Case[] = [];
  const code = (format: Format, modulePx: number, more: Partial<PrintedCode> = {}): PrintedCode => {
    const { bcid, options, text } = SYMBOLS[format];
    const at = [1000 + 60 * (random() - 0.5), 750 + 60 * (random() - 0.5)] as const;
    return { bcid, options, text: text(random), modulePx, deg: random() * 360, at, ...more };
  };
  const add = (
    condition: string,
    level: string | number,
    format: Format,
    one: PrintedCode,
    more: Partial<Scene> = {},
  ) =>
    cases.push({
      condition,
      level: String(level),
      formats: [format],
      texts: [one.text],
      scene: { ...SMALL, blurPx: 0.7, codes: [one], ...more },
    });
  for (const format of FORMATS) {
    for (let deg = 0; deg < 360; deg += 15) add("angle", deg, format, code(format, 3, { deg }));
    for (const px of [1.2, 1.5, 2, 2.5, 4, 6])
      add("module px", px, format, code(format, px), { blurPx: 0.4 });
    for (const px of [1.5, 2, 3, 4]) {
      const at = [4200 + 300 * random(), 2600 + 300 * random()] as const;
      add("module px, 24 MP", px, format, code(format, px, { at }), { ...LARGE, blurPx: 0.5 });
    }
    for (const blurPx of [0.1, 1, 1.5, 2, 2.5])
      add("blur px at module 3", blurPx, format, code(format, 3), { blurPx });
    for (const radiusMm of [25, 30, 40]) {
      for (const way of ["around", "along"] as const)
        add(`wristband ${way}, mm`, radiusMm, format, code(format, 4, { wrist: { radiusMm, way } }));
    }
    for (const noise of [8, 16, 24]) add("noise of 255", noise, format, code(format, 3), { noise });
    for (const glare of [0.05, 0.1, 0.2]) add("glare, part", glare, format, code(format, 4), { glare });
  }
  for (let n = 0; n < 6; n++) {
    const formats = [0, 1, 2, 3].map((i) => FORMATS[(n + 2 * i) % FORMATS.length]!);
    const places = [
      [520, 400],
      [1480, 400],
      [520, 1100],
      [1480, 1100],
    ] as const;
    const codes = formats.map((format, i) => code(format, 2.5, { at: places[i]! }));
    cases.push({
      condition: "four in one",
      level: "",
      formats,
      texts: codes.map(({ text }) => text),
      scene: { ...SMALL, blurPx: 0.7, codes },
    });
  }
  return cases;
}
