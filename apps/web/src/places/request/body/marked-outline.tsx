import { type BodyMark, bodyChart, sayMark } from "@samescale/practice/body";
import css from "./body-outline.module.css";

/** A body outline with marks, to look at. */
export function MarkedOutline({ marks }: { readonly marks: readonly BodyMark[] }) {
  const chart = bodyChart(marks[0]!.chart);
  const { box } = chart;
  const stroke = box.height / 150;
  const margin = stroke * 4;
  return (
    <figure>
      <svg
        viewBox={`${box.x - margin} ${box.y - margin} ${box.width + 2 * margin} ${box.height + 2 * margin}`}
        aria-hidden="true"
      >
        {chart.strokes.map(({ path, pen }) => (
          <path key={path} d={path} className={pen === "line" ? css.line : css.fine} strokeWidth={stroke} />
        ))}
        {marks.map(({ x, y }) => {
          const at = { cx: box.x + x * box.width, cy: box.y + y * box.height };
          return (
            <g key={`${x} ${y}`}>
              <circle {...at} r={stroke * 5.5} className={css.markCase} />
              <circle {...at} r={stroke * 4} className={css.mark} />
            </g>
          );
        })}
      </svg>
      <figcaption>{marks.map(sayMark).join("; ")}</figcaption>
    </figure>
  );
}
