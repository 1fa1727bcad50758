import { createHash } from "node:crypto";
import { constants } from "node:fs";
import { copyFile, mkdir, readdir, readFile, stat } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import {
  type CalibratedScales,
  type Practice,
  type PracticeText,
  parsePractice,
  type ReadPractice,
  readPractice,
} from "@samescale/practice";
import { recordOrNone } from "../scales/calibration-file.ts";

/** What a department begins with: it copies the folder and makes it its own. */
const STARTING = dirname(fileURLToPath(import.meta.resolve("@samescale/practice/starting/department.yaml")));

/** A library's own practice, in its folder. */
const IN_LIBRARY = "practice";

const MOST_FILES = 200;
const MOST_BYTES = 2_000_000;

export const isStartingPractice = (folder: string): boolean => resolve(folder) === STARTING;

/** Which practice holds: the one that is named, else the library's own, else the starting one. */
export async function practiceFolderFor(named: string | undefined, library: string | null): Promise<string> {
  if (named !== undefined) return named;
  const own = library === null ? null : join(library, IN_LIBRARY);
  if (own !== null && (await stat(own).catch(() => null))?.isDirectory()) return own;
  return STARTING;
}

/**
 * The practice of a folder, checked as a whole.
 * @throws SamescaleError PRACTICE_INVALID, or PRACTICE_UNREADABLE when the folder cannot be read
 */
export async function readPracticeFolder(folder: string): Promise<Practice> {
  const texts = await textsOf(folder);
  const { practice } = remembered(texts);
  return practice ?? parsePractice(texts, folder === STARTING ? "(the starting one)" : folder);
}

const known = new Map<string, ReadPractice>();
const MOST_KNOWN = 8;

/** What these very texts say: read once, as every request asks for the practice and it changes once a month. */
function remembered(texts: readonly PracticeText[]): ReadPractice {
  const hash = createHash("sha256");
  for (const { path, text } of texts) hash.update(`${path}\0${text.length}\0${text}`);
  const key = hash.digest("hex");
  const read = known.get(key) ?? readPractice(texts);
  known.delete(key);
  known.set(key, read);
  if (known.size > MOST_KNOWN) known.delete(known.keys().next().value!);
  return read;
}

/** A file of a practice as it would become; null: taken away. */
export interface PracticeFileWanted {
  readonly path: string;
  readonly text: string | null;
}

/**
 * Every fault of a practice folder, and what it holds; for a person who edits it.
 * @param instead a file as it would become
 */
export async function checkPracticeFolder(
  folder: string,
  instead?: PracticeFileWanted,
): Promise<ReadPractice> {
  const texts = await textsOf(folder);
  const others = texts.filter(({ path }) => path !== instead?.path);
  return remembered(isThere(instead) ? [...others, instead].sort(byPath) : others);
}

const isThere = (file: PracticeFileWanted | undefined): file is PracticeText =>
  file != null && file.text !== null;
const byPath = (a: PracticeText, b: PracticeText): number => (a.path < b.path ? -1 : 1);

/** Copies the starting practice; files that are there are never replaced. Returns the names of the new ones. */
export async function startPractice(folder: string): Promise<readonly string[]> {
  const made: string[] = [];
  for (const { path } of await textsOf(STARTING)) {
    const target = join(folder, path);
    try {
      await mkdir(dirname(target), { recursive: true });
      await copyFile(join(STARTING, path), target, constants.COPYFILE_EXCL);
      made.push(path);
    } catch (thrown) {
      if ((thrown as NodeJS.ErrnoException).code === "EEXIST") continue;
      throw asSamescaleError(thrown, target);
    }
  }
  return made;
}

/** The files of a practice as they are, whether it holds or not. @throws SamescaleError PRACTICE_UNREADABLE */
export const practiceFilesOf = async (folder: string): Promise<readonly PracticeText[]> =>
  await textsOf(folder);

async function textsOf(folder: string): Promise<PracticeText[]> {
  const names = await readdir(folder).catch((thrown: NodeJS.ErrnoException) => {
    throw unreadable(folder, WHY[thrown.code ?? ""] ?? "cannot be read");
  });
  const sets = names.includes("view-sets") ? await readdir(join(folder, "view-sets")) : [];
  const paths = [...names, ...sets.map((name) => `view-sets/${name}`)]
    .filter((path) => /\.ya?ml$/.test(path))
    .sort();
  if (paths.length > MOST_FILES) throw unreadable(folder, `holds more than ${MOST_FILES} files`);
  return await Promise.all(
    paths.map(async (path) => {
      const file = join(folder, path);
      const { size } = await stat(file);
      if (size > MOST_BYTES) throw unreadable(file, `is larger than ${MOST_BYTES / 1e6} MB`);
      return { path, text: await readFile(file, "utf8") };
    }),
  );
}

const WHY: Readonly<Record<string, string>> = {
  ENOENT: "is not there",
  ENOTDIR: "is not a folder",
  EACCES: "may not be read",
  EPERM: "may not be read",
};

const unreadable = (what: string, why: string) =>
  new SamescaleError(
    "PRACTICE_UNREADABLE",
    `The practice ${what} ${why}`,
    "Name a folder with department.yaml and view-sets; `samescale practice start FOLDER` makes one to begin with.",
  );

const CALIBRATIONS = "calibrated-scales.json";

/** What the department measured of its scales (`calibrated-scales.json` in the practice); none where there is no record. */
export async function calibrationsOf(folder: string): Promise<CalibratedScales> {
  return await recordOrNone(join(folder, CALIBRATIONS));
}

/** Day on which each scale of the register is due to be measured again, by its calibration record. */
export function dueOfScales(practice: Practice, record: CalibratedScales): Map<string, string> {
  const due = new Map<string, string>();
  for (const { id, calibrationId } of practice.kit.scales) {
    const last = record.scales.find((scale) => scale.id === calibrationId)?.measurements.at(-1);
    if (last) due.set(id, last.dueOn);
  }
  return due;
}
