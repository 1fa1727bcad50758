import { mkdir, open, rename, rm } from "node:fs/promises";
import { dirname, join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { parseCalibratedScales } from "@samescale/practice";
import { PHOTOGRAPHERS } from "../act/actor.ts";
import { type Act, defineAct } from "../act/define-act.ts";
import {
  earlierName,
  earlierText,
  isPracticePath,
  type PracticeFile,
  practiceFile,
  sha256Of,
} from "./practice-file.ts";
import { checkPracticeFolder, isStartingPractice } from "./practice-folder.ts";

export interface PracticeChange {
  /** The practice's folder. */
  readonly folder: string;
  readonly path: string;
  /** SHA-256 of the text that the person changed; null: there was no such file. */
  readonly before: string | null;
  /** The whole file as it shall be; null: taken away. */
  readonly text: string | null;
}

/** What stands there now and what stood there before: enough to take the change back. */
export interface PracticeChanged {
  readonly path: string;
  readonly before: string | null;
  readonly after: string | null;
}

const MOST_FAULTS = 3;

/** What it names reaches far: where second copies lie, who is asked for time stamps, what patients read. */
const LEADS_FILE = "department.yaml";

/**
 * Changes one file of the practice. Nothing is written that does not hold; what somebody else changed meanwhile is not
 * written over; the text before is kept beside it (`earlier/`), and the log tells of both by their hashes.
 */
const write = defineAct<PracticeChange & { readonly stands: PracticeFile | null }, PracticeChanged>({
  name: "practice.change",
  may: PHOTOGRAPHERS,
  consent: "nothing leaves",
  async run(change, { actor }) {
    const { folder, path, before, text, stands } = change;
    if (path === LEADS_FILE && actor.personId != null && actor.role !== "lead") {
      return { refused: "The department's rules, wordings and retention are for the lead to change" };
    }
    const now = stands?.sha256 ?? null;
    if (now !== before) {
      return {
        refused: `${path} was changed by somebody else meanwhile: open it anew, nothing of yours was written`,
      };
    }
    const after = text === null ? null : sha256Of(text);
    const value = { path, before, after };
    if (after === now) return { value, deed: null };
    const faults = await faultsOf(change);
    if (faults.length > 0) {
      const more = faults.length > MOST_FAULTS ? `; and ${faults.length - MOST_FAULTS} more` : "";
      return {
        refused: `Not written, as the practice would not hold: ${faults.slice(0, MOST_FAULTS).join("; ")}${more}`,
      };
    }
    if (stands !== null) await place(folder, earlierName(path, stands.sha256), stands.text);
    await place(folder, path, text);
    return {
      value,
      deed: { act: "practice.change", subject: `practice/${path}`, details: { before, after } },
    };
  },
});

export const changePractice: Act<PracticeChange, PracticeChanged> = async (desk, actor, change) => {
  const { folder, path } = change;
  if (!isPracticePath(path)) return { done: false, reason: `The practice has no file ${path.slice(0, 80)}` };
  if (isStartingPractice(folder)) {
    return { done: false, reason: "The starting practice is nobody's: make it your own first" };
  }
  if (!PHOTOGRAPHERS.includes(actor.role)) return await write(desk, actor, { ...change, stands: null });
  const part = join(folder, `${path}.part`);
  await lock(part);
  const stands = await practiceFile(folder, path);
  try {
    return await write(desk, actor, { ...change, stands });
  } catch (thrown) {
    // The log did not take it: the file is again what the log says.
    await place(folder, path, stands?.text ?? null);
    throw thrown;
  } finally {
    await rm(part, { force: true });
  }
};

/** Takes a change back: the file is again what it was before it, where nobody changed it since. */
export const takeBackPracticeChange: Act<
  PracticeChanged & { readonly folder: string },
  PracticeChanged
> = async (desk, actor, { folder, path, before, after }) => {
  const text = before === null ? null : await earlierText(folder, path, before);
  if (before !== null && text === null)
    return { done: false, reason: `What ${path.slice(0, 80)} said before was not kept` };
  return await changePractice(desk, actor, { folder, path, before: after, text });
};

async function faultsOf({ folder, path, text }: PracticeChange): Promise<readonly string[]> {
  if (path !== "calibrated-scales.json") return (await checkPracticeFolder(folder, { path, text })).faults;
  try {
    if (text !== null) parseCalibratedScales(JSON.parse(text), path);
    return [];
  } catch (thrown) {
    return [asSamescaleError(thrown, path).message];
  }
}

/** The file whole or not at all, whatever happens. */
async function place(folder: string, path: string, text: string | null): Promise<void> {
  const file = join(folder, path);
  if (text === null) return await rm(file, { force: true });
  await mkdir(dirname(file), { recursive: true });
  const fresh = `${file}.new`;
  const handle = await open(fresh, "w");
  try {
    await handle.writeFile(text);
    await handle.sync();
  } finally {
    await handle.close();
  }
  await rename(fresh, file);
}

/** The same sign as `kit set` and the calibration record leave: of two who write at once the second waits. */
async function lock(part: string): Promise<void> {
  await mkdir(dirname(part), { recursive: true });
  try {
    await (await open(part, "wx")).close();
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EEXIST") throw asSamescaleError(thrown, part);
    throw new SamescaleError(
      "PRACTICE_BUSY",
      `Somebody else is writing the practice: ${part} is there`,
      "Try again; if nobody is, a computer was switched off while writing: delete that file.",
    );
  }
}
