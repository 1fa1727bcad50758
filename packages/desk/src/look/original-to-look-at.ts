import { lookAt } from "../access/look.ts";
import type { Actor } from "../act/actor.ts";
import { longSidePx, storedPictures } from "../derive/stored-picture.ts";
import type { Desk } from "../desk.ts";

/** Where an original that somebody may look at lies, for programs on this machine only. */
export interface OriginalToLookAt {
  readonly file: string;
  /** Upright; null: nobody asked the file yet. */
  readonly size: { readonly widthPx: number; readonly heightPx: number } | null;
  /** The largest small picture that was made of it when it came in. */
  readonly preview: { readonly file: string; readonly longSidePx: number } | null;
}

/**
 * The original that somebody wants to look at closely; the look is on record where it is sensitive. Null where there is no
 * such picture that they may look at.
 */
export async function originalToLookAt(
  desk: Desk,
  actor: Actor,
  sha256: string,
): Promise<OriginalToLookAt | null> {
  if (!(await lookAt(desk, actor, sha256))) return null;
  const { originals, derived, read } = desk.library;
  const row = await read
    .selectFrom("file")
    .select(["kind", "info"])
    .where("sha256", "=", sha256)
    .where("destroyed_at", "is", null)
    .executeTakeFirst();
  if (!row || row.kind !== null || !(await originals.has(sha256))) return null;
  const info = row.info === null ? null : (JSON.parse(row.info) as { widthPx: number; heightPx: number });
  const largest = (await storedPictures(desk, sha256)).at(-1);
  const isThere = largest !== undefined && (await derived.has(largest.sha256));
  return {
    file: await originals.localFile(sha256),
    size: info && { widthPx: info.widthPx, heightPx: info.heightPx },
    preview: isThere
      ? { file: await derived.localFile(largest.sha256), longSidePx: longSidePx(largest) }
      : null,
  };
}
