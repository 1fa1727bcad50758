import { access } from "node:fs/promises";
import { join, resolve } from "node:path";
import type { Library } from "../library.ts";
import { originalsFolder } from "../originals/folder.ts";
import type { Fault, VerifyOptions } from "./report.ts";

/** A place that was used holds this file: without it another disk is mounted there. */
export const COPY_MARK = "samescale-second-copy.txt";

/** Second copies, hashed where their place can be reached; a place that cannot is a note, not a fault. */
export async function* copyFaults(
  library: Library,
  options: VerifyOptions,
): AsyncGenerator<Fault, { copies: number; notes: string[] }> {
  const rows = await library.read
    .selectFrom("copy")
    .innerJoin("file", "file.sha256", "copy.sha256")
    .select(["copy.sha256", "copy.place", "file.destroyed_at"])
    .orderBy("copy.place")
    .orderBy("copy.sha256")
    .execute();
  const notes: string[] = [];
  let copies = 0;
  for (const [place, there] of Map.groupBy(rows, (row) => row.place)) {
    const folder = resolve(library.folder, place);
    if (!(await exists(folder))) {
      notes.push(`${there.length} second copies at ${place} were not checked: the place cannot be reached`);
      continue;
    }
    if (!(await exists(join(folder, COPY_MARK)))) {
      const fault = `has no ${COPY_MARK}: another disk is there now, or the mark was removed; ${there.length} copies belong here`;
      yield { where: "copy", subject: place, fault };
      continue;
    }
    const store = originalsFolder(join(folder, "originals"));
    for (const { sha256, destroyed_at } of there) {
      options.signal?.throwIfAborted();
      const found = await store.rehash(sha256, options.signal);
      const fault = copyFault(sha256, found, destroyed_at);
      if (fault !== null) yield { where: "copy", subject: join(place, sha256), fault };
      if (found !== null) copies++;
    }
  }
  return { copies, notes };
}

function copyFault(sha256: string, found: string | null, destroyedAt: string | null): string | null {
  if (destroyedAt !== null) {
    return found === null ? null : "is here, and the record says that its original was destroyed";
  }
  if (found === null) return "is missing at the second place";
  return found === sha256 ? null : `its bytes were changed: they have ${found}`;
}

const exists = (path: string): Promise<boolean> =>
  access(path).then(
    () => true,
    () => false,
  );
