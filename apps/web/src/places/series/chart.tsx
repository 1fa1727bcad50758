import type { SeriesVisitShown } from "@samescale/server";
import { useId } from "react";
import { words } from "../../words/index.ts";
import css from "./chart.module.css";

const { chart: say } = words.series;

export const QUANTITIES = ["area", "length", "width", "perimeter"] as const;
export type Quantity = (typeof QUANTITIES)[number];

export const measuredOf = (visit: SeriesVisitShown, of: Quantity): SeriesVisitShown["areaMm2"] =>
  ({ area: visit.areaMm2, length: visit.lengthMm, width: visit.widthMm, perimeter: visit.perimeterMm })[of];
export const unitOf = (of: Quantity): string => (of === "area" ? say.mm2 : say.mm);

const DAY_MS = 86_400_000;
const WIDTH = 720;
const HEIGHT = 260;
const LEFT = 64;
const RIGHT = 40;
const TOP = 28;
const BOTTOM = 48;

/**
 * A quantity over time with its 95 % intervals. The axis begins at nought, so that a change looks as large as it is; across a
 * visit that was not measured no line is drawn.
 */
export function SizeChart({
  visits,
  of,
  baselineBefore,
}: {
  readonly visits: readonly SeriesVisitShown[];
  readonly of: Quantity;
  /** Day of the picture that was the baseline once; null: it was always the same. */
  readonly baselineBefore: string | null;
}) {
  const title = useId();
  const dated = visits.filter(({ date }) => date !== null);
  const days = dated.map(({ date }) => Date.parse(date!) / DAY_MS);
  const measured = dated.flatMap((visit) => measuredOf(visit, of) ?? []);
  if (measured.length === 0) return null;
  const top = niceCeiling(Math.max(...measured.map(({ value, u95 }) => value + u95)));
  const [first, last] = [Math.min(...days), Math.max(...days)];
  const x = (day: number) =>
    LEFT + 20 + ((day - first) / Math.max(1, last - first)) * (WIDTH - LEFT - RIGHT - 20);
  const y = (value: number) => TOP + (HEIGHT - TOP - BOTTOM) * (1 - value / top);
  return (
    <svg className={css.chart} viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-labelledby={title}>
      <title id={title}>{say.summary(say[of], measured.length, dated.length - measured.length)}</title>
      <text className={css.axis} x={4} y={14}>{`${say[of]}, ${unitOf(of)}`}</text>
      {[0, 1, 2, 3, 4].map((i) => (
        <g key={i}>
          <line
            className={i === 0 ? css.ground : css.rule}
            x1={LEFT}
            x2={WIDTH - RIGHT + 20}
            y1={y((top * i) / 4)}
            y2={y((top * i) / 4)}
          />
          <text className={css.tick} x={LEFT - 8} y={y((top * i) / 4) + 5}>
            {tickText((top * i) / 4)}
          </text>
        </g>
      ))}
      {dated.map((visit, i) => {
        const now = measuredOf(visit, of);
        const at = x(days[i]!);
        const before = dated[i - 1] && measuredOf(dated[i - 1]!, of);
        return (
          <g key={`${visit.visitId} ${visit.date}`}>
            {now && before && (
              <line
                className={css.guide}
                x1={x(days[i - 1]!)}
                y1={y(before.value)}
                x2={at}
                y2={y(now.value)}
              />
            )}
            {now ? (
              <g className={css.point}>
                <path
                  d={`M${at} ${y(Math.max(0, now.value - now.u95))}V${y(now.value + now.u95)}M${at - 6} ${y(now.value + now.u95)}h12M${at - 6} ${y(Math.max(0, now.value - now.u95))}h12`}
                />
                <circle cx={at} cy={y(now.value)} r={5} />
              </g>
            ) : (
              <g className={css.gap}>
                <line x1={at} x2={at} y1={TOP} y2={y(0)} />
                <text x={at} y={TOP - 6}>
                  {visit.frame ? say.gap : say.noPicture}
                </text>
              </g>
            )}
            <text className={css.date} x={at} y={HEIGHT - BOTTOM + 20}>
              {visit.date}
            </text>
            <text className={css.day} x={at} y={HEIGHT - BOTTOM + 38}>
              {visit.isBaseline ? words.series.baseline : say.day(days[i]! - first)}
              {!visit.isBaseline && visit.date === baselineBefore && `, ${say.wasBaseline}`}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

const tickText = (value: number): string =>
  value >= 10 ? value.toFixed(0) : Number(value.toFixed(2)).toString();

/** The next 1, 2, 2.5 or 5 times a power of ten, so that the lines fall on round numbers. */
function niceCeiling(value: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(value, 1e-6)));
  return power * ([1, 2, 2.5, 5, 10].find((step) => step * power >= value) ?? 10);
}
