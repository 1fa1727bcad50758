import type { Head } from "../custody/chain.ts";
import type { Library } from "../library.ts";
import { type CopyFiles, copyFiles, type WantedFile } from "./copy-files.ts";
import { linesOf } from "./lines.ts";
import {
  backupNames,
  type Lines,
  type Manifest,
  readManifest,
  readUnfinished,
  writeManifest,
  writeUnfinished,
} from "./manifest.ts";
import { ownFilesOut } from "./own-files.ts";
import type { Ref } from "./pieces.ts";
import type { BackupPlace } from "./place.ts";
import { rowsOut } from "./rows-out.ts";

export interface BackupOptions {
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: BackupProgress) => void;
  /** The private keys that sign heads as well. */
  readonly withKeys?: boolean;
}

export interface BackupProgress {
  readonly step: "rows" | "originals" | "derived pictures";
  readonly done: number;
  /** Null while it is not known. */
  readonly of: number | null;
  /** New in the place by this run. */
  readonly copied: number;
  readonly copiedBytes: number;
}

export interface BackupMade {
  readonly name: string;
  readonly madeAt: string;
  readonly head: Head;
  readonly rows: number;
  readonly originals: number;
  readonly derived: number;
  /** New in the place by this run. */
  readonly copied: number;
  readonly copiedBytes: number;
  /** What could not be copied, a sentence each: the backup holds everything else. */
  readonly faults: readonly string[];
}

/**
 * A backup of the library as it is at this moment, while it is in use. Rows are read in one transaction that sees one
 * moment; an original is in its store before its row is committed, and never changes, so copying the files afterwards
 * gives what the rows tell of. Only pieces that are not there yet are written, and the note comes last: a run that is
 * killed or finds the disk full leaves the backups before it as they were, and the next one goes on from there.
 *
 * @throws SamescaleError of the place: DISK_FULL, FILE_NOT_PERMITTED …; the signal's reason when stopped
 */
export async function makeBackup(
  library: Library,
  place: BackupPlace,
  options: BackupOptions = {},
): Promise<BackupMade> {
  await place.pieces.sweep();
  const madeAt = library.clock().toISOString();
  const before = await newestManifest(place);
  const known = refsOf(before);
  const faults: string[] = [];
  const count = { copied: 0, copiedBytes: 0 };
  const tell = (step: BackupProgress["step"], done: number, of: number | null) =>
    options.onProgress?.({ step, done, of, ...count });
  const signal = options.signal ? { signal: options.signal } : {};

  const onRows = (rows: number) => tell("rows", rows, null);
  const { head, tables } = await rowsOut(library, place, known, { ...signal, onRows });

  let unfinished = await readUnfinished(place);
  const copy = async (
    which: "originals" | "derived",
    files: Pick<CopyFiles, "what" | "wanted">,
    of: number,
  ) => {
    let done = 0;
    return copyFiles({
      ...files,
      ...signal,
      place,
      known,
      store: library[which],
      earlier: [before?.[which].pieces ?? [], unfinished[which]],
      onFault: (fault) => faults.push(fault),
      onFile(bytes) {
        if (bytes !== null) {
          count.copied++;
          count.copiedBytes += bytes;
        }
        tell(which === "originals" ? "originals" : "derived pictures", ++done, of);
      },
      async onList(refs) {
        unfinished = { ...unfinished, [which]: [...refs] };
        await writeUnfinished(place, unfinished);
      },
    });
  };
  const linesIn = (table: string) => tables[table] ?? { count: 0, pieces: [] };
  const destroyed = new Set<string>();
  const wantedOriginals = originalsOf(place, linesIn("file"), destroyed);
  const originals = await copy(
    "originals",
    { what: "original", wanted: wantedOriginals },
    linesIn("file").count,
  );
  const wantedPictures = picturesOf(place, linesIn("picture"), destroyed);
  const derived = await copy(
    "derived",
    { what: "derived picture", wanted: wantedPictures },
    linesIn("picture").count,
  );
  const files = await ownFilesOut(library.folder, place, options.withKeys === true);
  options.signal?.throwIfAborted();
  const name = await writeManifest(place, {
    form: "samescale-backup-note/1",
    madeAt,
    library: place.library,
    head,
    tables,
    originals,
    derived,
    files,
    faults,
  });
  await writeUnfinished(place, { originals: [], derived: [] });
  const rows = Object.values(tables).reduce((sum, table) => sum + table.count, 0);
  return { name, madeAt, head, rows, originals: originals.count, derived: derived.count, ...count, faults };
}

/** The newest backup whose note can be read; what it names need not be written again. */
async function newestManifest(place: BackupPlace): Promise<Manifest | null> {
  for (const name of (await backupNames(place)).reverse()) {
    const manifest = await readManifest(place, name).catch(() => null);
    if (manifest !== null) return manifest;
  }
  return null;
}

function refsOf(manifest: Manifest | null): ReadonlyMap<string, Ref> {
  if (manifest === null) return new Map();
  const lists = [...Object.values(manifest.tables), manifest.originals, manifest.derived];
  const refs = [...lists.flatMap(({ pieces }) => pieces), ...manifest.files];
  return new Map(
    refs.map(({ sha256, stored }) => [sha256, stored === undefined ? { sha256 } : { sha256, stored }]),
  );
}

/** From the rows as they went out, so that nothing later slips in. Those that were destroyed are only noted. */
async function* originalsOf(
  place: BackupPlace,
  { pieces }: Lines,
  destroyed: Set<string>,
): AsyncGenerator<WantedFile> {
  for await (const row of linesOf<{ sha256: string; bytes: number; destroyed_at?: string }>(place, pieces)) {
    if (row.destroyed_at === undefined) yield { sha256: row.sha256, bytes: row.bytes };
    else destroyed.add(row.sha256);
  }
}

/** A picture made from what was destroyed went with it. */
async function* picturesOf(
  place: BackupPlace,
  { pieces }: Lines,
  destroyed: ReadonlySet<string>,
): AsyncGenerator<WantedFile> {
  for await (const row of linesOf<{ id: string; body: string; inputs: string }>(place, pieces)) {
    const { sha256, bytes } = JSON.parse(row.body) as { sha256?: string; bytes?: number };
    const inputs = JSON.parse(row.inputs) as readonly string[];
    if (sha256 === undefined || bytes === undefined || inputs.some((input) => destroyed.has(input))) continue;
    yield { row: row.id, sha256, bytes };
  }
}
