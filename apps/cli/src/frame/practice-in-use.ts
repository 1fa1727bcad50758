import { practiceFolderFor, readPracticeFolder } from "@samescale/desk";
import type { Practice } from "@samescale/practice";

/** The practice that `--practice` or the library names, and the folder it lies in. */
export async function practiceInUse(options: {
  readonly practice?: string;
  readonly library?: string;
}): Promise<{ readonly practice: Practice; readonly folder: string }> {
  const folder = await practiceFolderFor(options.practice, options.library ?? null);
  return { practice: await readPracticeFolder(folder), folder };
}
