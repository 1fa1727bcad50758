import { randomUUID } from "node:crypto";
import { mkdir, open, rename, rm, stat } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";

/** The files appear together in a new folder, or not at all; what is there already is left alone. */
export async function placeFolder(
  folder: string,
  files: readonly { readonly name: string; readonly content: Buffer }[],
): Promise<void> {
  const to = resolve(folder);
  const part = join(dirname(to), `.${basename(to)}.${randomUUID()}.part`);
  try {
    await mustNotExist(to);
    // They show patients: nobody else of the machine looks in.
    await mkdir(part, { mode: 0o700 });
    for (const { name, content } of files) {
      const handle = await open(join(part, name), "wx");
      try {
        await handle.writeFile(content);
        await handle.sync();
      } finally {
        await handle.close();
      }
    }
    await mustNotExist(to);
    await rename(part, to);
  } catch (thrown) {
    throw asSamescaleError(thrown, folder);
  } finally {
    await rm(part, { recursive: true, force: true });
  }
}

/** @throws SamescaleError PICTURES_EXIST */
export async function mustNotExist(folder: string): Promise<void> {
  if (!(await stat(folder).catch(() => null))) return;
  throw new SamescaleError(
    "PICTURES_EXIST",
    `There is something of that name already, and it is not touched: ${folder}`,
    "Name a folder that does not exist yet.",
  );
}
