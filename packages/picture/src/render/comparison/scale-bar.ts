import { lineOfText } from "./lettering.ts";

const LENGTHS_MM = [1, 2, 5, 10, 20, 50, 100, 200, 500] as const;

/** A bar of a round length, about a fifth of the picture's width, with its length in words beside it. */
export function scaleBar(pxPerMm: number, widthPx: number, top: number, capPx: number, fill: string): string {
  const fitting = LENGTHS_MM.filter((mm) => mm * pxPerMm <= widthPx / 4);
  const mm = fitting.at(-1) ?? LENGTHS_MM[0];
  const [long, thick] = [mm * pxPerMm, Math.max(3, capPx / 3)];
  const y = top + 1.2 * capPx;
  const ends = [0, long - thick].map(
    (x) => `<rect x="${x}" y="${y - capPx / 2}" width="${thick}" height="${capPx}" fill="${fill}"/>`,
  );
  const bar = `<rect x="0" y="${y - thick / 2}" width="${long}" height="${thick}" fill="${fill}"/>`;
  const words = lineOfText(`${mm} mm, by the scale in the baseline`, long + capPx, y + capPx / 2, {
    capPx: 0.85 * capPx,
    fill,
  });
  return bar + ends.join("") + words;
}
