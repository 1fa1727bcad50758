import { lstat, mkdir, readdir, readFile, realpath, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";
import { DEMO_MARK, DEMO_MARK_TEXT } from "./demo-folder.ts";

/** What a demonstration put beside its mark; nothing else in its folder is ever touched. */
const PARTS = [
  "cards",
  "library",
  "library-dropped",
  "second-copy",
  "shot-cards",
  "bedside",
  "released",
] as const;
/** What is wanted, written before anything goes: a run that is killed is finished at the next start. */
const WANTED = "removing.json";
const KEPT_PRACTICE = "practice-kept";

export interface StartOver {
  /** The demonstration's practice goes into the empty library; else the starting one holds there. */
  readonly keepPractice: boolean;
}

/**
 * Makes of a demonstration an empty folder for a library of one's own, once and for all. Only below the demonstration's
 * own folder, which its mark tells, only what a demonstration makes, and never through a link: a link is taken away,
 * what it leads to stays. The mark goes last.
 *
 * The library must not be open. @returns names of what else lies in the folder and was left alone
 * @throws SamescaleError DEMO_NOT_REMOVED with the reason; nothing was removed then
 */
export async function removeDemonstration(library: string, { keepPractice }: StartOver): Promise<string[]> {
  const root = await demonstrationOf(library);
  await writeFile(join(root, WANTED), JSON.stringify({ keepPractice }));
  const own = join(root, "library", "practice");
  if (keepPractice && (await isFolder(own))) {
    await rm(join(root, KEPT_PRACTICE), { recursive: true, force: true });
    await rename(own, join(root, KEPT_PRACTICE));
  }
  for (const part of PARTS) await rm(join(root, part), { recursive: true, force: true });
  await mkdir(join(root, "library"));
  // The kept practice names it as its second place.
  await mkdir(join(root, "second-copy"));
  if (await isFolder(join(root, KEPT_PRACTICE))) {
    await rename(join(root, KEPT_PRACTICE), join(root, "library", "practice"));
  }
  await rm(join(root, DEMO_MARK));
  await rm(join(root, WANTED));
  return (await readdir(root)).filter((name) => name !== "library" && name !== "second-copy");
}

/** Goes on with a removal that was killed; nothing where there was none. To be asked before the library is opened. */
export async function finishRemoving(library: string): Promise<void> {
  const root = dirname(resolve(library));
  const text = await readFile(join(root, WANTED), "utf8").catch(() => null);
  if (text === null) return;
  if (!(await isMark(join(root, DEMO_MARK)))) return await rm(join(root, WANTED), { force: true });
  const { keepPractice } = JSON.parse(text) as StartOver;
  // Everything but the practice may be gone already.
  await mkdir(join(root, "library"), { recursive: true });
  await removeDemonstration(library, { keepPractice });
}

/** The demonstration's folder, told by its mark and by where the library lies in it. */
async function demonstrationOf(library: string): Promise<string> {
  const typed = resolve(library);
  if (!(await isFolder(typed))) throw refused("the library is no folder of its own (a link, or not there)");
  const folder = await realpath(typed);
  const root = dirname(folder);
  if (folder !== join(root, "library"))
    throw refused("the library does not lie where a demonstration puts it");
  if (!(await isMark(join(root, DEMO_MARK))))
    throw refused("the folder round it does not bear the mark of a demonstration");
  if ((await lstat(join(folder, "places.json")).catch(() => null)) !== null) {
    throw refused("its tables or its originals lie elsewhere");
  }
  const { dev } = await lstat(root);
  for (const part of PARTS) {
    const found = await lstat(join(root, part)).catch(() => null);
    if (found !== null && !found.isSymbolicLink() && found.dev !== dev)
      throw refused(`${part} lies on another disk`);
  }
  return root;
}

/** The very file that `samescale demo` wrote: a plain one, with its text. */
async function isMark(file: string): Promise<boolean> {
  const found = await lstat(file).catch(() => null);
  return found?.isFile() === true && (await readFile(file, "utf8")) === DEMO_MARK_TEXT;
}

const isFolder = async (path: string): Promise<boolean> =>
  (await lstat(path).catch(() => null))?.isDirectory() ?? false;

const refused = (why: string) =>
  new SamescaleError(
    "DEMO_NOT_REMOVED",
    `The demonstration was not removed: ${why}`,
    "Nothing was deleted. Make a library of your own elsewhere: samescale serve --library FOLDER.",
  );
