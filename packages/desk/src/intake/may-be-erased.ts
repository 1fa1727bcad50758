import type { SecondCopies } from "./second-copies.ts";
import type { TakenFile } from "./take-in-lines.ts";

/** The tool never erases a card; it says whether a person may. */
export interface MayBeErased {
  readonly may: boolean;
  readonly why: string;
}

const NAMED = 3;

/** What the second copies of this run came to. */
export type CopiesSaid = Pick<SecondCopies, "said" | "fault" | "onSameDisk">;

/**
 * A card may be erased when every file on it is in the library and at the second place, read back and compared in
 * this run; in the library alone only where the practice says so. Only what an operating system left there does not
 * count.
 */
export function mayBeErased(files: readonly TakenFile[], second: CopiesSaid): MayBeErased {
  const kept = files.filter((file) => file.state === "stored" || file.state === "already");
  const notKept = files.filter((file) => !kept.includes(file) && !file.leftBySystem);
  if (notKept.length > 0) {
    const named = notKept.slice(0, NAMED).map((file) => `${file.path} (${file.reason})`);
    const more = notKept.length > NAMED ? ` and ${notKept.length - NAMED} more` : "";
    return { may: false, why: `Not in the library: ${named.join("; ")}${more}` };
  }
  if (kept.length === 0) return { may: false, why: "No picture was found: is this the right folder?" };
  const all = kept.length === 1 ? "The one file on it is" : `All ${kept.length} files on it are`;
  return judgedByCopies(all, kept, second);
}

function judgedByCopies(all: string, kept: readonly TakenFile[], second: CopiesSaid): MayBeErased {
  const { said, fault, onSameDisk } = second;
  if (said.is === "one copy is enough") {
    const enough = "one copy is enough, as the practice says (secondPlace: none)";
    return { may: true, why: `${all} in the library, read back and compared; ${enough}` };
  }
  if (said.is === "not said") {
    const todo = "Name a folder on another disk as secondPlace in department.yaml and take the card in again";
    return { may: false, why: `${all} in the library, but only there. ${todo}` };
  }
  const once = kept.filter((file) => !file.hasCopy).length;
  if (once > 0) {
    const because = fault === null ? "" : `: ${fault.message}. ${fault.help.replace(/\.$/, "")}`;
    const todo = "Then take the card in again: the missing copies are made";
    return { may: false, why: `${once} of ${kept.length} files have no second copy${because}. ${todo}` };
  }
  const disk = onSameDisk ? "; both copies lie on one disk, so that it can take both along" : "";
  return {
    may: true,
    why: `${all} in the library and at the second place, each read back and compared${disk}`,
  };
}
