import type { SeriesAddress } from "./address.ts";

export interface SeriesWindow {
  readonly code: string;
  readonly view: string;
  readonly part: SeriesAddress["part"];
  readonly colours: SeriesAddress["colours"];
}

/** Two sizes only, so that what was rendered once is used again. */
export const SMALL_PX = 480;
export const LARGE_PX = 1200;

export const windowPath = ({ code, view, part }: SeriesWindow): string =>
  `/series/${encodeURIComponent(code)}/window?view=${encodeURIComponent(view)}&part=${part}&widthPx=${LARGE_PX}`;

/** A window of a visit's picture, rendered by the server. Changes with the comparison, so that it is never of another one. */
export function pictureUrl(
  { code, view, part, colours }: SeriesWindow,
  frameId: string,
  widthPx: number,
  comparedAt: string | null,
  as: "picture" | "difference" = "picture",
): string {
  const how = as === "difference" ? as : colours === "own" ? "own-colours" : "picture";
  const query = new URLSearchParams({
    ...{ view, frame: frameId, part, widthPx: String(widthPx), as: how },
    of: comparedAt ?? "none",
  });
  return `/api/series/${encodeURIComponent(code)}/picture?${query}`;
}
