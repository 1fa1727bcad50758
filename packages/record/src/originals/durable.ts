import { mkdir, open } from "node:fs/promises";
import { dirname } from "node:path";

/**
 * Makes the folder and those above it, and waits until the disk knows each new name. What lies in them are health
 * records: nobody else may look in.
 */
export async function makeFolderDurably(folder: string): Promise<void> {
  const first = await mkdir(folder, { recursive: true, mode: 0o700 });
  if (first === undefined) return;
  for (let made = folder; ; made = dirname(made)) {
    await syncFolder(dirname(made));
    if (made === first || made === dirname(made)) return;
  }
}

/** Waits until the disk knows the names in this folder. Windows cannot do that to a folder and needs it less. */
export async function syncFolder(folder: string): Promise<void> {
  if (process.platform === "win32") return;
  const handle = await open(folder, "r");
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}
