/** ISO day of a moment. */
export const dayOf = (at: string): string => at.slice(0, 10);

/** Local day and time of day as they were recorded. */
export const momentOf = (at: string): string => `${at.slice(0, 10)} ${at.slice(11, 16)}`;

/** Sizes of files in decimal units, two or three figures. */
export function sizeText(bytes: number): string {
  if (bytes < 1000) return `${bytes} B`;
  const [value, unit] =
    bytes < 1e6 ? [bytes / 1e3, "kB"] : bytes < 1e9 ? [bytes / 1e6, "MB"] : [bytes / 1e9, "GB"];
  return `${value < 10 ? value.toFixed(1) : Math.round(value)} ${unit}`;
}
