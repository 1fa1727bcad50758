import type { Measured } from "@samescale/geometry";
import { mm } from "./page.ts";

/** Where the chart stands on the page. */
export interface Box {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

const DAY_MS = 86_400_000;

/**
 * Area over time with 95 % intervals; the axis starts at zero, so that a change looks as large as it is. No line is
 * drawn between visits that were not photographed, only a thin guide.
 */
export function drawAreaChart(
  document: PDFKit.PDFDocument,
  box: Box,
  points: readonly { readonly dateIso: string; readonly areaMm2: Measured }[],
): void {
  const days = points.map((p) => Date.parse(p.dateIso) / DAY_MS);
  const firstDay = Math.min(...days);
  const spanDays = Math.max(1, Math.max(...days) - firstDay);
  const top = niceCeiling(Math.max(...points.map((p) => p.areaMm2.value + p.areaMm2.u95)));
  const plot = {
    xMm: box.xMm + 16,
    yMm: box.yMm + 4,
    widthMm: box.widthMm - 24,
    heightMm: box.heightMm - 16,
  };
  const xOf = (day: number) => plot.xMm + 8 + ((day - firstDay) / spanDays) * (plot.widthMm - 16);
  const yOf = (area: number) => plot.yMm + plot.heightMm * (1 - area / top);

  document.strokeColor("#000").fillColor("#000");
  for (let i = 0; i <= 4; i++) {
    const area = (top * i) / 4;
    document
      .lineWidth(i === 0 ? 0.6 : 0.15)
      .moveTo(mm(plot.xMm), mm(yOf(area)))
      .lineTo(mm(plot.xMm + plot.widthMm), mm(yOf(area)))
      .stroke();
    document
      .font("regular")
      .fontSize(8.5)
      .text(String(Math.round(area)), mm(box.xMm), mm(yOf(area) - 1.6), {
        width: mm(13),
        align: "right",
        lineBreak: false,
      });
  }
  document
    .font("regular")
    .fontSize(8.5)
    .text("area, mm²", mm(box.xMm), mm(box.yMm - 2), { lineBreak: false });

  points.forEach((point, i) => {
    const x = xOf(days[i] as number);
    const { value, u95 } = point.areaMm2;
    const before = points[i - 1];
    if (before) {
      document
        .lineWidth(0.3)
        .moveTo(mm(xOf(days[i - 1] as number)), mm(yOf(before.areaMm2.value)))
        .lineTo(mm(x), mm(yOf(value)))
        .dash(2, { space: 2 })
        .stroke()
        .undash();
    }
    const [low, high] = [Math.max(0, value - u95), value + u95];
    document
      .lineWidth(0.8)
      .moveTo(mm(x), mm(yOf(low)))
      .lineTo(mm(x), mm(yOf(high)))
      .stroke();
    for (const end of [low, high]) {
      document
        .moveTo(mm(x - 1.6), mm(yOf(end)))
        .lineTo(mm(x + 1.6), mm(yOf(end)))
        .stroke();
    }
    document.circle(mm(x), mm(yOf(value)), mm(1.1)).fill("#000");
    document.text(point.dateIso, mm(x - 12), mm(plot.yMm + plot.heightMm + 2), {
      width: mm(24),
      align: "center",
      lineBreak: false,
    });
    document.text(
      `day ${Math.round((days[i] as number) - firstDay)}`,
      mm(x - 12),
      mm(plot.yMm + plot.heightMm + 6),
      {
        width: mm(24),
        align: "center",
        lineBreak: false,
      },
    );
  });
}

/** The next 1, 2, 2.5 or 5 times a power of ten. */
function niceCeiling(value: number): number {
  if (!(value > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  return power * ([1, 2, 2.5, 5, 10].find((step) => step * power >= value) ?? 10);
}
