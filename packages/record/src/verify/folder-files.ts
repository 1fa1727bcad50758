import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import type { Head } from "../custody/chain.ts";
import { HEAD_FILE, keptHead } from "../custody/head-file.ts";
import { nextKeyFile, readKeyFile } from "../custody/heads/key-file.ts";
import { keyIdOf, publicKeysOf } from "../custody/heads/keys.ts";
import type { Library } from "../library.ts";
import { README } from "../library-readme.ts";
import type { Fault } from "./report.ts";

/** The small files of a library's folder: the kept head, the signing key, the text that says what the folder is. */
export async function folderFaults(library: Library): Promise<{ head: Head | null; faults: Fault[] }> {
  const { head, faults } = await headBeside(library);
  return { head, faults: [...faults, ...(await keyFaults(library)), ...(await readmeFaults(library))] };
}

async function headBeside(library: Library): Promise<{ head: Head | null; faults: Fault[] }> {
  const fault = (text: string): Fault => ({ where: "log", subject: HEAD_FILE, fault: text });
  try {
    const head = await keptHead(library.folder);
    return { head, faults: head ? [] : [fault("is missing: nothing here says how far the log went")] };
  } catch (thrown) {
    return { head: null, faults: [fault(asSamescaleError(thrown, library.folder).message)] };
  }
}

/** A key that this user may not read, or that lies elsewhere, cannot be checked here, and need not be for checking the log. */
async function keyFaults(library: Library): Promise<Fault[]> {
  const file = library.keyFile;
  const newest = (await publicKeysOf(library.read)).at(-1);
  try {
    const key = await readKeyFile(file);
    if (key === null || newest === undefined || keyIdOf(key) === newest.id) return [];
    const next = await readKeyFile(nextKeyFile(file)); // a rotation was killed; the next signing finishes it
    if (next !== null && keyIdOf(next) === newest.id) return [];
    return [
      {
        where: "file",
        subject: file,
        fault: `is another key than ${newest.id}, which signs this library's heads`,
      },
    ];
  } catch (thrown) {
    if (!(thrown instanceof SamescaleError)) throw thrown;
    return [{ where: "file", subject: file, fault: thrown.message }];
  }
}

async function readmeFaults(library: Library): Promise<Fault[]> {
  const tell = (fault: string): Fault[] => [{ where: "file", subject: "README.txt", fault }];
  const text = await readFile(join(library.folder, "README.txt"), "utf8").catch(() => null);
  if (text === null) return tell("is missing: whoever finds the folder is not told what it is");
  return text === README
    ? []
    : tell("is not the text that this version writes; the next command that writes renews it");
}
