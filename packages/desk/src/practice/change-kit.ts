import { open, readFile, rename, rm } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { changeItem, type ItemChange, type Practice } from "@samescale/practice";
import { checkPracticeFolder, isStartingPractice, readPracticeFolder } from "./practice-folder.ts";

/**
 * Changes one thing in a practice's register, keeping the person's own text. The file is the old one or the new one at
 * any moment, and only ever one that holds; of two who write at once the second is told to wait.
 * @throws SamescaleError KIT_REFUSED with the reason, KIT_BUSY, and as `readPracticeFolder`
 */
export async function changeKit(folder: string, id: string, change: ItemChange): Promise<Practice> {
  if (isStartingPractice(folder)) {
    throw new SamescaleError(
      "KIT_REFUSED",
      "The starting practice is nobody's: its register is not changed",
      "Make a practice of your own first: samescale practice start FOLDER, then --practice FOLDER.",
    );
  }
  const file = join(folder, "kit.yaml");
  const part = `${file}.part`;
  const handle = await open(part, "wx").catch((thrown: NodeJS.ErrnoException) => {
    if (thrown.code !== "EEXIST") throw asSamescaleError(thrown, part);
    throw new SamescaleError(
      "KIT_BUSY",
      `Somebody else is writing the register: ${part} is there`,
      "Try again; if nobody is, a computer was switched off while writing: delete that file.",
    );
  });
  try {
    const before = await readPracticeFolder(folder);
    const text = changeItem(await readFile(file, "utf8"), id, change);
    if (text === null) {
      const known = Object.values(before.kit).flatMap((list) =>
        Array.isArray(list) ? list.map((one) => one.id) : [],
      );
      throw new SamescaleError(
        "KIT_REFUSED",
        `Nothing in the register is named ${id}; there are ${known.join(", ") || "none"}`,
        "Name one of these, or enter it in kit.yaml.",
      );
    }
    const { faults } = await checkPracticeFolder(folder, { path: "kit.yaml", text });
    if (faults.length > 0) {
      throw new SamescaleError(
        "KIT_REFUSED",
        `Not changed: ${faults[0]}`,
        "Give a value that the register can hold.",
      );
    }
    await handle.writeFile(text);
    await handle.sync();
    await handle.close();
    await rename(part, file);
    return await readPracticeFolder(folder);
  } catch (thrown) {
    await handle.close().catch(() => {}); // what went wrong first is what counts
    await rm(part, { force: true });
    throw asSamescaleError(thrown, file);
  }
}
