import { sharp } from "../../decode/sharp.ts";
import type { Laid } from "./laid-picture.ts";
import { type Lettering, lineOfText, wrapped } from "./lettering.ts";
import { scaleBar } from "./scale-bar.ts";

/** One picture with what is said below it. */
export interface Panel {
  readonly picture: Laid;
  readonly title: string;
  readonly notes: readonly string[];
  /** Set on the picture itself, across it, where it must not be overlooked. */
  readonly stamp?: string;
  /** Pixels of the panel's picture per millimetre; null where no scale was read. */
  readonly pxPerMm?: number | null;
  /** Drawn over the picture. */
  readonly overlay?: string;
  /** Drawn below the notes. */
  readonly legend?: { readonly svg: string; readonly heightPx: number };
}

/** Paper and ink of what surrounds a picture: neutral, since colour is judged against it. */
export const GROUND_RGB = [246, 246, 244] as const;
const GROUND = `rgb(${GROUND_RGB})`;
export const INK = "#1d1e1f";
const GAP_PX = 12;

/** Panels of one size beside and below each other, each with its caption; the pixels of the whole sheet. */
export async function sheetOf(panels: readonly Panel[], columns: number): Promise<Laid> {
  const captions = panels.map(captionOf);
  const width = panels[0]!.picture.widthPx;
  const height = panels[0]!.picture.heightPx;
  const captionPx = Math.max(...captions.map((c) => c.heightPx));
  const across = Math.min(columns, panels.length);
  const down = Math.ceil(panels.length / columns);
  const sheet = {
    width: across * width + (across + 1) * GAP_PX,
    height: down * (height + captionPx + GAP_PX) + GAP_PX,
  };
  const layers = panels.flatMap(({ picture, stamp, overlay }, i) => {
    const left = GAP_PX + (i % columns) * (width + GAP_PX);
    const top = GAP_PX + Math.floor(i / columns) * (height + captionPx + GAP_PX);
    const raw = { width, height, channels: 3 as const };
    const over = `${overlay ?? ""}${stamp ? stamped(stamp, width, height) : ""}`;
    return [
      {
        input: Buffer.from(picture.rgb.buffer, picture.rgb.byteOffset, picture.rgb.byteLength),
        raw,
        left,
        top,
      },
      ...(over ? [{ input: svg(width, height, over), left, top }] : []),
      { input: svg(width, captionPx, captions[i]!.svg), left, top: top + height },
    ];
  });
  const { data, info } = await sharp({ create: { ...sheet, channels: 3, background: GROUND } })
    .composite(layers)
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return {
    rgb: new Uint8Array(data.buffer, data.byteOffset, data.byteLength),
    widthPx: info.width,
    heightPx: info.height,
  };
}

/** Lettering grows with the picture, so that it is as legible when the sheet is shown small. */
export const capPxFor = (widthPx: number) => Math.max(9, Math.round(widthPx / 70));

function captionOf({ picture, title, notes, pxPerMm, legend }: Panel) {
  const capPx = capPxFor(picture.widthPx);
  const [lineGap, textWidth] = [2.1 * capPx, picture.widthPx];
  let y = 1.9 * capPx;
  const drawn: string[] = [];
  const write = (text: string, how: Lettering) => {
    for (const line of wrapped(text, textWidth, how)) {
      drawn.push(lineOfText(line, 0, y, how));
      y += lineGap;
    }
  };
  write(title, { capPx, bold: true, fill: INK });
  for (const note of notes) write(note, { capPx: 0.85 * capPx, fill: INK });
  if (pxPerMm) {
    drawn.push(scaleBar(pxPerMm, picture.widthPx, y - capPx, capPx, INK));
    y += 1.3 * lineGap;
  }
  if (legend) {
    drawn.push(`<g transform="translate(0 ${y - capPx})">${legend.svg}</g>`);
    y += legend.heightPx;
  }
  return { svg: drawn.join(""), heightPx: Math.ceil(y) };
}

/** Dark words on a light band with a dark rim: to be read on every skin. */
function stamped(text: string, width: number, height: number): string {
  const capPx = 1.3 * capPxFor(width);
  const how = { capPx, bold: true, fill: INK };
  const lines = wrapped(text, width - 4 * capPx, how);
  const band = 2.1 * capPx * lines.length + 1.6 * capPx;
  const top = (height - band) / 2;
  const words = lines.map((line, i) => lineOfText(line, 2 * capPx, top + (2 + 2.1 * i) * capPx, how));
  return `<rect x="0" y="${top}" width="${width}" height="${band}" fill="${GROUND}" stroke="${INK}" stroke-width="3"/>${words.join("")}`;
}

export const svg = (width: number, height: number, body: string): Buffer =>
  Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">${body}</svg>`);
