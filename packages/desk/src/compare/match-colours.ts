import type { AlignAnswer, MatchAnswer, OutlineRegion, PicturePool } from "@samescale/picture";

/** A picture of a series, with what must not count as skin in it. */
export interface ColouredPicture {
  readonly file: string;
  readonly leftOut: readonly OutlineRegion[];
}

/**
 * Brings a follow-up to the baseline's colours on the skin that both show. Null where it could not be laid over the
 * baseline: then nobody knows which skin is the same.
 */
export async function matchColours(
  pool: PicturePool,
  baseline: ColouredPicture,
  followup: ColouredPicture & { readonly alignment: AlignAnswer | null },
  signal?: AbortSignal,
): Promise<MatchAnswer | null> {
  if (!followup.alignment?.aligned) return null;
  return await pool.run(
    "match-colour",
    {
      file: followup.file,
      baseline: baseline.file,
      homography: followup.alignment.homography,
      ignoreBaseline: baseline.leftOut,
      ignoreFollowup: followup.leftOut,
    },
    signal,
  );
}
