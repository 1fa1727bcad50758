import css from "./viewer.module.css";

interface LineProps {
  /** Path in upright picture px. */
  readonly d: string;
  /** `read`: what the tool read; `guess`: dashed, not sure; `other`: dashed, of somebody else or of before. */
  readonly look?: "line" | "read" | "guess" | "other";
  /** Thinner where many stand close. */
  readonly isFine?: boolean;
}

/** A line on skin: light within dark, so that it shows on every skin and on a wound, as wide at every zoom. */
export function CasedLine({ d, look = "line", isFine = false }: LineProps) {
  const size = isFine ? css.fine : "";
  return (
    <g className={`${css.cased} ${css[look]} ${size}`}>
      <path className={css.casing} d={d} />
      <path className={css.core} d={d} />
    </g>
  );
}

/** A point on skin, as large at every zoom. */
export function CasedPoint({
  x,
  y,
  look = "inside",
}: {
  readonly x: number;
  readonly y: number;
  /** `inside`: filled; `outside`: an open ring; `chosen`: larger. */
  readonly look?: "inside" | "outside" | "chosen";
}) {
  // A line without length and with round ends is a disc whose size does not follow the zoom.
  const d = `M${x} ${y}h0`;
  return (
    <g className={`${css.point} ${css[look]}`}>
      <path className={css.casing} d={d} />
      <path className={css.core} d={d} />
      {look === "outside" && <path className={css.hole} d={d} />}
    </g>
  );
}

/** A closed ring of points as a path. */
export const ringPath = (ring: readonly (readonly [number, number])[]): string =>
  ring.length === 0 ? "" : `M${ring.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;
