import { sharp } from "../../packages/picture/src/decode/sharp.ts";
import { letter } from "../../packages/simulator/src/text/letter.ts";

export const QUIET = "#6b6b6b";

export function svg(width: number, height: number, body: string): Buffer {
  return Buffer.from(
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">${body}</svg>`,
  );
}

/** Lettering as outlines, so that no typeface of the machine is needed. */
export function text(
  words: string,
  x: number,
  y: number,
  capPx: number,
  fill: string,
  alignX: -1 | 0 | 1 = 0,
): string {
  const rings = letter(words, x, y, { font: "regular", capHeightMm: capPx, alignX });
  const path = rings.map((ring) => {
    const points: string[] = [];
    for (let i = 0; i < ring.length; i += 2) points.push(`${ring[i]!.toFixed(2)} ${ring[i + 1]!.toFixed(2)}`);
    return `M${points.join("L")}Z`;
  });
  return `<path d="${path.join("")}" fill="${fill}" fill-rule="nonzero"/>`;
}

/** Panels one above the other with a common horizontal axis of graduation numbers. */
export class Chart {
  #body = "";
  #x: (v: number) => number = (v) => v;
  #y: (v: number) => number = (v) => v;
  readonly width: number;
  readonly height: number;

  constructor(width: number, height: number) {
    this.width = width;
    this.height = height;
  }

  panel(
    top: number,
    bottom: number,
    [x0, x1]: readonly [number, number],
    [y0, y1]: readonly [number, number],
    name: string,
    labels: readonly string[],
  ): void {
    const [left, right] = [90, this.width - 20];
    this.#x = (v) => left + ((v - x0) / (x1 - x0)) * (right - left);
    this.#y = (v) => bottom - ((v - y0) / (y1 - y0)) * (bottom - top);
    this.#body += `<rect x="${left}" y="${top}" width="${right - left}" height="${bottom - top}" fill="none" stroke="${QUIET}"/>`;
    this.#body += text(name, left, top - 12, 11, QUIET, -1);
    for (const label of labels) {
      const y = this.#y(Number(label));
      this.#body += `<line x1="${left}" x2="${right}" y1="${y}" y2="${y}" stroke="${QUIET}" stroke-opacity="0.3"/>`;
      this.#body += text(label, left - 10, y, 10, QUIET, 1);
    }
  }

  dot(x: number, y: number, fill: string): void {
    this.#body += `<circle cx="${this.#x(x)}" cy="${this.#y(y)}" r="3" fill="${fill}"/>`;
  }

  line(xs: readonly number[], ys: readonly number[], stroke: string): void {
    const points = xs.map((x, i) => `${this.#x(x)},${this.#y(ys[i]!)}`).join(" ");
    this.#body += `<polyline points="${points}" fill="none" stroke="${stroke}" stroke-width="2"/>`;
  }

  async write(path: string): Promise<void> {
    const white = `<rect width="${this.width}" height="${this.height}" fill="#ffffff"/>`;
    await sharp(svg(this.width, this.height, white + this.#body))
      .png({ palette: true })
      .toFile(path);
  }
}
