import type { CatchUpOptions } from "@samescale/record";
import type { Desk } from "../desk.ts";

/**
 * Makes everything findable: after an older version wrote to the library, after a restore, or again from the beginning. Not
 * an act: the index tells nothing that the rows do not.
 * @throws SamescaleError SEARCH_BEHIND where the library was opened for reading only
 */
export async function bringFindingUpToDate({ library }: Desk, options: CatchUpOptions = {}): Promise<void> {
  if (options.again === true || !(await library.search.isUpToDate())) await library.search.catchUp(options);
}
