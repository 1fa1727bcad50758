import type { ReadScale } from "@samescale/picture/planimetry";
import { CasedLine } from "../../../viewer/cased.tsx";
import { useScreenScale } from "../../../viewer/viewer.tsx";

/** Half a stroke, in distances from one graduation to the next; a ten is longer. */
const HALF = 0.8;
const TEN_TIMES = 2;
/** Strokes closer than this on the screen are drawn thin. */
const CLOSE_PX = 7;
const INCH_MM = 25.4;

/** Every graduation that was read, a stroke across the edge; tens (or whole inches) longer: that it was read is seen. */
export function Graduations({ scales }: { readonly scales: readonly ReadScale[] }) {
  const screen = useScreenScale();
  return scales.map((scale, i) => {
    const apart = distanceApartPx(scale);
    return (
      // biome-ignore lint/suspicious/noArrayIndexKey: the scales of one reading keep their order.
      <g key={i} data-graduations={scale.ticks.length}>
        <CasedLine d={strokes(scale, apart)} look="read" isFine={apart * screen < CLOSE_PX} />
      </g>
    );
  });
}

function strokes({ ticks, axisDeg, unit }: ReadScale, apartPx: number): string {
  const along = (axisDeg * Math.PI) / 180;
  const [dx, dy] = [-Math.sin(along), Math.cos(along)];
  const long = unit === "inch" ? INCH_MM : 10;
  return ticks
    .map(({ x, y, mm }) => {
      const isLong = Math.abs(mm / long - Math.round(mm / long)) * long < 0.01 * long;
      const half = HALF * apartPx * (isLong ? TEN_TIMES : 1);
      return `M${(x - half * dx).toFixed(1)} ${(y - half * dy).toFixed(1)}L${(x + half * dx).toFixed(1)} ${(y + half * dy).toFixed(1)}`;
    })
    .join("");
}

/** From one graduation to the next, in the picture. */
function distanceApartPx({ ticks, pxPerMm, coverageMm }: ReadScale): number {
  return ticks.length > 1 ? (coverageMm / (ticks.length - 1)) * pxPerMm.value : pxPerMm.value;
}

/** The part of the picture that the graduations lie in, with some room. */
export function wholeOf(scales: readonly ReadScale[]): { x: number; y: number; widthPx: number } {
  const ticks = scales.flatMap((scale) => scale.ticks);
  const [xs, ys] = [ticks.map((t) => t.x), ticks.map((t) => t.y)];
  const [left, right, top, bottom] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return {
    x: (left + right) / 2,
    y: (top + bottom) / 2,
    widthPx: 1.4 * Math.max(right - left, 1.5 * (bottom - top), 40),
  };
}
