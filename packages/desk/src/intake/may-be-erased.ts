import type { TakenFile } from "./take-in-lines.ts";

/** The tool never erases a card; it says whether a person may. */
export interface MayBeErased {
  readonly may: boolean;
  readonly why: string;
}

const NAMED = 3;

/**
 * A card may be erased when every file on it is in the library, read back and compared in this run. Only what an
 * operating system left there does not count.
 */
export function mayBeErased(files: readonly TakenFile[]): MayBeErased {
  const kept = files.filter((file) => file.state === "stored" || file.state === "already");
  const notKept = files.filter((file) => !kept.includes(file) && !file.leftBySystem);
  if (notKept.length > 0) {
    const named = notKept.slice(0, NAMED).map((file) => `${file.path} (${file.reason})`);
    const more = notKept.length > NAMED ? ` and ${notKept.length - NAMED} more` : "";
    return { may: false, why: `Not in the library: ${named.join("; ")}${more}` };
  }
  if (kept.length === 0) return { may: false, why: "No picture was found: is this the right folder?" };
  const all = kept.length === 1 ? "The one file on it is" : `All ${kept.length} files on it are`;
  return { may: true, why: `${all} in the library, read back and compared` };
}
