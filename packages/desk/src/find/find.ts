import { type Found, type FoundKind, MOST_COUNTED, type SearchWanted } from "@samescale/record";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type FoundRow, rowsOf } from "./found-rows.ts";
import { seenInLists } from "./seen-in-lists.ts";

export type { FoundKind, FoundRow };
export { MOST_COUNTED };

export interface FoundPage extends Omit<Found, "ids"> {
  readonly kind: FoundKind;
  readonly rows: readonly FoundRow[];
}

/**
 * Patients, requests or frames by words, days and facets, newest first, page by page; only what this person may know
 * of, in rows, counts and facets alike. Looking is not an act.
 *
 * @throws SamescaleError SEARCH_BEHIND, SEARCH_CURSOR
 */
export async function find(
  { library }: Desk,
  actor: Actor,
  wanted: Omit<SearchWanted, "seen">,
): Promise<FoundPage> {
  const seen = await seenInLists(library.read, actor, library.clock().toISOString());
  const { ids, next, counted } = await library.search.find({ ...wanted, seen });
  return { kind: wanted.kind, rows: await rowsOf(library.read, wanted.kind, ids), next, counted };
}
