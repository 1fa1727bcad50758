import type { MaskArea, MaskKind } from "@samescale/picture";
import type { Tables } from "../../access/seeing.ts";

export const PROPOSED_STEP = "propose-masks";
export const CONFIRMED_STEP = "confirm-masks";

/** What a person answers to the question after one kind of thing. */
export const MASK_ANSWERS = ["not-there", "masked", "may-be-seen"] as const;
export type MaskAnswer = (typeof MASK_ANSWERS)[number];

/** What a person confirmed of one original; no areas: there is nothing to mask, and a person says so. */
export interface ConfirmedMask {
  readonly original: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly areas: readonly MaskArea[];
  readonly answers: Readonly<Record<Exclude<MaskKind, "other">, MaskAnswer>>;
  readonly confirmedBy: string;
  readonly confirmedAt: string;
}

export interface MaskInForce {
  readonly sha256: string;
  readonly mask: ConfirmedMask;
}

/** The last confirmation of this very original, by the log's order, as clocks jump; null: nobody has looked at it yet. */
export async function maskInForce(
  tables: Tables,
  frameId: string,
  original: string,
): Promise<MaskInForce | null> {
  const rows = await tables
    .selectFrom("mask")
    .select(["id", "recipe", "body", "sha256"])
    .where("frame_id", "=", frameId)
    .execute();
  let last: (MaskInForce & { readonly sequence: number }) | null = null;
  for (const { id, recipe, body, sha256 } of rows) {
    if ((JSON.parse(recipe) as { step: string }).step !== CONFIRMED_STEP) continue;
    const mask = JSON.parse(body) as ConfirmedMask;
    if (mask.original !== original) continue;
    const { sequence } = await tables
      .selectFrom("act")
      .select("sequence")
      .where("subject", "=", `mask/${id}`)
      .executeTakeFirstOrThrow();
    if (last === null || sequence > last.sequence) last = { sequence, sha256, mask };
  }
  return last && { sha256: last.sha256, mask: last.mask };
}
