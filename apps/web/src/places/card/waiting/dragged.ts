import type { DropItem } from "react-aria-components";

/** What a drag of frames carries: their ids. */
export const FRAMES_TYPE = "application/x-samescale-frames";

export async function framesIn(items: readonly DropItem[]): Promise<string[]> {
  const texts = await Promise.all(
    items.map((item) =>
      item.kind === "text" && item.types.has(FRAMES_TYPE) ? item.getText(FRAMES_TYPE) : "[]",
    ),
  );
  return [...new Set(texts.flatMap((text) => JSON.parse(text) as string[]))];
}
