import type { ShownView } from "@samescale/server";
import css from "./plan.module.css";

/** What the view shows: black within the picture's edge, grey outside it. */
export function ViewFigure({ figure }: { readonly figure: ShownView["figure"] }) {
  const { window: seen, frame, strokes, letters, letterMm } = figure;
  const stroke = Math.max(seen.width, seen.height) / 130;
  const id = `edge-${Math.round(frame.x)}-${Math.round(frame.y)}-${Math.round(frame.width)}`;
  const drawn = strokes.map(({ path, pen }) => (
    <path
      key={path}
      d={path}
      strokeWidth={pen === "mark" ? stroke * 1.8 : pen === "fine" ? stroke * 0.7 : stroke}
    />
  ));
  return (
    <svg
      viewBox={`${seen.x} ${seen.y} ${seen.width} ${seen.height}`}
      className={css.figure}
      aria-hidden="true"
    >
      <clipPath id={id}>
        <rect x={frame.x} y={frame.y} width={frame.width} height={frame.height} />
      </clipPath>
      <g className={css.outside}>{drawn}</g>
      <g clipPath={`url(#${id})`}>
        <rect x={frame.x} y={frame.y} width={frame.width} height={frame.height} className={css.ground} />
        <g className={css.inside}>{drawn}</g>
      </g>
      <rect
        x={frame.x}
        y={frame.y}
        width={frame.width}
        height={frame.height}
        className={css.edge}
        strokeWidth={stroke * 1.4}
      />
      {letters.map(({ text, x, y }) => (
        <text key={text} x={x} y={y} fontSize={letterMm} className={css.letter}>
          {text}
        </text>
      ))}
    </svg>
  );
}
