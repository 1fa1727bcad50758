import { createReadStream } from "node:fs";
import { readdir } from "node:fs/promises";
import { join, relative, sep } from "node:path";
import type { BagSource } from "./check-bag.ts";

/** A bag that lies unpacked in a folder. Links are not followed. */
export const bagFolder = (folder: string): BagSource => ({
  async list() {
    const entries = await readdir(folder, { recursive: true, withFileTypes: true });
    const files: string[] = [];
    const others: string[] = [];
    for (const entry of entries) {
      const path = relative(folder, join(entry.parentPath, entry.name)).split(sep).join("/");
      if (entry.isFile()) files.push(path);
      else if (!entry.isDirectory()) others.push(path);
    }
    return { files: files.sort(), others: others.sort() };
  },
  read: (path) => createReadStream(join(folder, path)),
});
