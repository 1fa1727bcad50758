import type { ViewFigure } from "@samescale/server";
import css from "./view-drawing.module.css";

/** The line figure of a view with the picture's edge over it; always beside the view's name. */
export function ViewDrawing({ figure }: { readonly figure: ViewFigure }) {
  const { window, frame, strokes, letters, letterMm } = figure;
  return (
    <svg
      className={css.drawing}
      viewBox={`${window.x} ${window.y} ${window.width} ${window.height}`}
      aria-hidden="true"
    >
      {strokes.map(({ path, pen }) => (
        <path key={path} d={path} className={css[pen]} />
      ))}
      <rect className={css.frame} {...frame} />
      {letters.map(({ text, x, y }) => (
        <text key={`${text}${x}`} x={x} y={y} fontSize={letterMm}>
          {text}
        </text>
      ))}
    </svg>
  );
}
