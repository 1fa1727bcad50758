import { existsSync } from "node:fs";
import { mkdir, readdir, rm, writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { SamescaleError } from "@samescale/errors";

/** Where the demonstration lies. */
export interface DemoFolder {
  readonly root: string;
  /** The camera's cards, as the photographer brings them. */
  readonly cards: string;
  readonly library: string;
  /** Where the demonstration's practice keeps every original a second time. */
  readonly secondCopy: string;
  /** On paper and for a phone. */
  readonly shotCards: string;
  /** Where the frames of the session at the bedside arrive. */
  readonly bedside: string;
  /** Everything that left the department. */
  readonly released: string;
}

/** Written first; only a folder that holds it is ever emptied. */
export const DEMO_MARK = "this-is-a-samescale-demonstration.txt";
export const DEMO_MARK_TEXT =
  "Invented department, invented patients, pictures from a virtual camera.\n" +
  "`samescale demo` empties this folder and makes it anew.\n";

/** An empty folder for the demonstration; one from an earlier run is emptied, any other is left alone. */
export async function prepareDemoFolder(dir: string): Promise<DemoFolder> {
  const root = resolve(dir);
  await mkdir(root, { recursive: true });
  const there = await readdir(root);
  if (there.length > 0 && !there.includes(DEMO_MARK)) {
    throw new SamescaleError(
      "DEMO_FOLDER_IN_USE",
      `${root} holds other things: the demonstration would empty it`,
      "Name a new folder with --dir.",
    );
  }
  const folder: DemoFolder = {
    root,
    cards: join(root, "cards"),
    library: join(root, "library"),
    secondCopy: join(root, "second-copy"),
    shotCards: join(root, "shot-cards"),
    bedside: join(root, "bedside"),
    released: join(root, "released"),
  };
  const { root: _, ...parts } = folder;
  for (const part of Object.values(parts)) await rm(part, { recursive: true, force: true });
  await writeFile(join(root, DEMO_MARK), DEMO_MARK_TEXT);
  await mkdir(folder.secondCopy);
  await mkdir(folder.released);
  await mkdir(folder.shotCards);
  return folder;
}

/** Whether a library is the one of a demonstration folder: everything in it is invented. */
export const isDemonstration = (library: string): boolean =>
  existsSync(join(resolve(library), "..", DEMO_MARK));
