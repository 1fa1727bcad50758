import { join } from "node:path";
import type { Actor } from "../act/actor.ts";
import { KEEPS_LISTS } from "../consent/recalls.ts";
import type { Desk } from "../desk.ts";
import { checkReleased, type ReleasedCheck } from "./check-released.ts";
import { releasesOf } from "./releases.ts";

/**
 * Whether what lies in the folder of a release is still what left: everything in that folder is hashed again, against
 * receipts and log. Null where there is no such release that they may know of.
 */
export async function checkOneRelease(
  desk: Desk,
  actor: Actor,
  releasedFolder: string,
  releaseId: string,
): Promise<ReleasedCheck | null> {
  if (!KEEPS_LISTS.includes(actor.role)) return null;
  const [release] = await releasesOf(desk, actor, { releaseId });
  if (!release) return null;
  const { folder } = release;
  try {
    const check = await checkReleased(join(releasedFolder, folder), desk);
    if (check.releases.includes(releaseId)) return check;
    const missing = {
      file: `receipt-${release.receipt.mark}.json`,
      fault: "is missing: its release cannot be checked",
    };
    return { ...check, faults: [missing, ...check.faults] };
  } catch (thrown) {
    if (!["ENOENT", "ENOTDIR"].includes((thrown as NodeJS.ErrnoException).code ?? "")) throw thrown;
    const fault = "does not lie in this machine's folder of released files";
    return { releases: [], files: 0, faults: [{ file: folder, fault }] };
  }
}
