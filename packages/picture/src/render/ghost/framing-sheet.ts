import type { OutlineRegion } from "../../answers.ts";
import { fittingSize } from "../../decode/fitting-size.ts";
import { sharp } from "../../decode/sharp.ts";
import type { Laid } from "../comparison/laid-picture.ts";
import { lineOfText } from "../comparison/lettering.ts";
import { capPxFor, INK, sheetOf } from "../comparison/panel.ts";

const PAPER = "#f6f6f4";

/** What is marked and said on the picture of the framing. */
export interface FramingMarks {
  readonly scaleAt: readonly OutlineRegion[];
  readonly title: string;
  readonly notes: readonly string[];
  readonly pxPerMm: number;
}

/** The framing as a small JPEG: thirds and middle of the frame, the scale's place, what has to stand where in words. */
export async function framingSheet(laid: Laid, longSidePx: number, marks: FramingMarks): Promise<Uint8Array> {
  const { widthPx, heightPx } = fittingSize(laid, longSidePx);
  const k = widthPx / laid.widthPx;
  const rgb = await sharp(laid.rgb, { raw: { width: laid.widthPx, height: laid.heightPx, channels: 3 } })
    .resize({ width: widthPx, height: heightPx, fit: "fill" })
    .raw()
    .toBuffer();
  const sheet = await sheetOf(
    [
      {
        picture: { widthPx, heightPx, rgb },
        title: marks.title,
        notes: marks.notes,
        pxPerMm: k * marks.pxPerMm,
        overlay:
          thirds(widthPx, heightPx) +
          marks.scaleAt.map((region, i) => place(region, k, widthPx, i === 0)).join(""),
      },
    ],
    1,
  );
  return await sharp(sheet.rgb, { raw: { width: sheet.widthPx, height: sheet.heightPx, channels: 3 } })
    .withIccProfile("srgb")
    .jpeg({ quality: 85, chromaSubsampling: "4:4:4" })
    .toBuffer();
}

function thirds(width: number, height: number): string {
  const line = (d: string, strong: boolean) =>
    `<path d="${d}" fill="none" stroke="${INK}" stroke-opacity="0.55" stroke-width="${strong ? 4 : 2.4}"/>` +
    `<path d="${d}" fill="none" stroke="${PAPER}" stroke-opacity="0.9" stroke-width="${strong ? 1.8 : 0.9}"/>`;
  const [cx, cy, arm] = [width / 2, height / 2, 0.03 * width];
  return (
    line(
      [1, 2].map((i) => `M${(i * width) / 3} 0V${height}M0 ${(i * height) / 3}H${width}`).join(""),
      false,
    ) + line(`M${cx - arm} ${cy}H${cx + arm}M${cx} ${cy - arm}V${cy + arm}`, true)
  );
}

/** Where the scale lay, dashed, with the word in it once. */
function place({ outline }: OutlineRegion, k: number, widthPx: number, named: boolean): string {
  const points = outline.map(([x, y]) => [k * x, k * y] as const);
  const d = `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;
  const dashed =
    `<path d="${d}" fill="none" stroke="${INK}" stroke-opacity="0.7" stroke-width="4"/>` +
    `<path d="${d}" fill="none" stroke="${PAPER}" stroke-width="1.8" stroke-dasharray="10 7"/>`;
  if (!named) return dashed;
  const cap = capPxFor(widthPx);
  const x = Math.max(cap, Math.min(...points.map(([px]) => px)) + cap);
  const y = Math.max(2.5 * cap, Math.min(...points.map(([, py]) => py)) + 2 * cap);
  const word = (fill: string) => lineOfText("scale", x, y, { capPx: cap, bold: true, fill });
  // The typeface has some 700 units to a capital: the casing is drawn in those.
  return `${dashed}<g stroke="${INK}" stroke-width="200" stroke-linejoin="round">${word(INK)}</g>${word(PAPER)}`;
}
