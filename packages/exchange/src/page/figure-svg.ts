import { type CardFigure, PEN_WIDTHS } from "../card/shot-card.ts";
import { escaped } from "./html.ts";

/** As large as a figure is shown, in CSS pixels; pens keep their width on the screen whatever the figure shows. */
export const FIGURE_PX = { width: 128, height: 116 } as const;
const PEN_PX = 1.7;

const near = (value: number): string => String(Number(value.toPrecision(5)));

/**
 * A line figure as SVG, drawn in the colours of its surroundings: `currentColor` within the frame, the classes
 * `outside` and `thing` for what lies outside it and for what is filled.
 * @param id unique on the page
 */
export function figureSvg({ window, frame, strokes, letters, letterMm }: CardFigure, id: string): string {
  const mmPerPx = Math.max(window.width / FIGURE_PX.width, window.height / FIGURE_PX.height);
  const drawn = strokes
    .map(
      ({ path, pen }) =>
        `<path d="${escaped(path)}" stroke-width="${near(PEN_WIDTHS[pen] * PEN_PX * mmPerPx)}"${pen === "thing" ? ' class="thing"' : ""}/>`,
    )
    .join("");
  const box = (of: CardFigure["frame"]): string =>
    `x="${near(of.x)}" y="${near(of.y)}" width="${near(of.width)}" height="${near(of.height)}"`;
  const sides = letters
    .map(
      ({ text, x, y }) =>
        `<circle cx="${near(x)}" cy="${near(y)}" r="${near(letterMm / 2)}" class="ground"/>` +
        `<text x="${near(x)}" y="${near(y + 0.36 * letterMm)}" font-size="${near(letterMm)}">${escaped(text)}</text>`,
    )
    .join("");
  return (
    `<svg viewBox="${near(window.x)} ${near(window.y)} ${near(window.width)} ${near(window.height)}" aria-hidden="true">` +
    `<defs><clipPath id="${id}"><rect ${box(frame)}/></clipPath><g id="${id}s">${drawn}</g></defs>` +
    `<use href="#${id}s" class="outside"/><g clip-path="url(#${id})"><rect ${box(frame)} class="ground"/><use href="#${id}s"/></g>` +
    `<rect ${box(frame)} stroke-width="${near(1.2 * mmPerPx)}"/>${sides}</svg>`
  );
}
