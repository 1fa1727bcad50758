import type { Desk } from "../desk.ts";
import type { PictureBody } from "./keep-pictures.ts";

/** Thumbnail and preview that were made of an original when it came in, the smaller first. */
export async function storedPictures({ library }: Desk, original: string): Promise<PictureBody[]> {
  const rows = await library.read
    .selectFrom("file")
    .innerJoin("picture", "picture.frame_id", "file.frame_id")
    .select(["picture.body", "picture.inputs"])
    .where("file.sha256", "=", original)
    .where("file.destroyed_at", "is", null)
    .orderBy("picture.id")
    .execute();
  return rows
    .filter(({ inputs }) => (JSON.parse(inputs) as string[]).join() === original)
    .map(({ body }) => JSON.parse(body) as PictureBody)
    .filter(({ use }) => use === "thumbnail" || use === "preview")
    .sort((a, b) => a.widthPx - b.widthPx);
}

export const longSidePx = ({ widthPx, heightPx }: PictureBody): number => Math.max(widthPx, heightPx);
