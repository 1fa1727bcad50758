/** A reproduction ratio as people say it: 0.25 is 1:4, 2 is 2:1. */
export function ratioText(magnification: number): string {
  const short = (n: number) => (n >= 9.95 ? n.toFixed(0) : n.toFixed(1).replace(/\.0$/, ""));
  return magnification >= 1 ? `${short(magnification)}:1` : `1:${short(1 / magnification)}`;
}

/** "2026-03-02 09:13", as it was where the picture was made. */
export const timeText = (local: string | null): string => local?.replace("T", " ").slice(0, 16) ?? "";
