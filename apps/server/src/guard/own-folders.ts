import { homedir, tmpdir } from "node:os";
import { basename, resolve } from "node:path";

/** Where things lie on this machine is nobody's affair: of a path below one of our folders only the rest is told. */
export function withoutOwnFolders(folders: readonly string[]): (text: string) => string {
  const own = [...new Set([...folders, process.cwd(), homedir(), tmpdir()].map((folder) => resolve(folder)))]
    .filter((folder) => folder.length > 1)
    // The longest first: what is told is the least.
    .sort((a, b) => b.length - a.length);
  return (text) => {
    let told = text;
    for (const folder of own) {
      told = told.replaceAll(`${folder}/`, "").replaceAll(folder, basename(folder));
    }
    return told;
  };
}
