import { SamescaleError } from "@samescale/errors";
import { EMPTY_HEAD } from "../custody/chain.ts";
import type { Library } from "../library.ts";
import { copyFaults } from "./copies.ts";
import { derivativeFaults } from "./derivatives.ts";
import { folderFaults } from "./folder-files.ts";
import { logAndRows } from "./log-and-rows.ts";
import type { Fault, VerifyCounts, VerifyOptions } from "./report.ts";
import { storeFaults } from "./stores.ts";

/**
 * Checks the whole library without changing anything: the database file, the log from the first entry to the last with
 * its tree, its signed heads and their time stamps, every row against the last seal that the log has of it, every
 * derivative's inputs and recipe, every original's, derived picture's and second copy's bytes. Yields each fault; returns
 * what was checked.
 *
 * A database that is too damaged to be read further is one fault; what does not need it is checked all the same.
 */
export async function* verifyLibrary(
  library: Library,
  options: VerifyOptions = {},
): AsyncGenerator<Fault, VerifyCounts> {
  const found = tally(library.tablesName, options.signal);
  yield* found.of(async function* () {
    for (const fault of await library.engineFaults()) {
      yield { where: "database", subject: library.tablesName, fault };
    }
  });
  const folder = yield* found.of(async function* () {
    const { head, faults } = await folderFaults(library);
    yield* faults;
    return head;
  });
  const log = yield* found.of(async function* () {
    const heads = [
      ...(folder ? [{ head: folder, called: "the kept head in custody.head" }] : []),
      ...(options.kept ? [{ head: options.kept, called: "the kept head" }] : []),
    ];
    const checked = await logAndRows(library.read, heads, options);
    yield* checked.faults;
    return checked;
  });
  const derived = yield* found.of(async function* () {
    const { derivatives, faults } = await derivativeFaults(library.read, options.signal);
    yield* faults;
    return derivatives;
  });
  const stores = yield* found.of(() => storeFaults(library, options));
  const copies = yield* found.of(() => copyFaults(library, options));
  return {
    originals: stores?.originals ?? 0,
    bytes: stores?.bytes ?? 0,
    entries: log?.entries ?? 0,
    rows: log?.rows ?? 0,
    derivatives: derived ?? 0,
    derived: stores?.derived ?? 0,
    copies: copies?.copies ?? 0,
    signedHeads: log?.signedHeads ?? 0,
    timeStamps: log?.timeStamps ?? 0,
    faults: found.faults,
    notes: [...(log?.notes ?? []), ...(stores?.notes ?? []), ...(copies?.notes ?? [])],
    head: log?.head ?? EMPTY_HEAD,
  };
}

/** Counts the faults of the parts; a part that the database refuses is a fault and has no result. */
function tally(tablesName: string, signal: AbortSignal | undefined) {
  const counted = {
    faults: 0,
    async *of<Result>(part: () => AsyncGenerator<Fault, Result>): AsyncGenerator<Fault, Result | undefined> {
      const faults = part();
      for (;;) {
        let next: IteratorResult<Fault, Result>;
        try {
          next = await faults.next();
        } catch (thrown) {
          if (signal?.aborted || !isOfTheDatabase(thrown)) throw thrown;
          counted.faults++;
          yield { where: "database", subject: tablesName, fault: (thrown as Error).message };
          return undefined;
        }
        if (next.done) return next.value;
        counted.faults++;
        yield next.value;
      }
    },
  };
  return counted;
}

/** Told in words by the adapter, or said by the engine: a name of a column that one flipped bit has changed. */
const isOfTheDatabase = (thrown: unknown): boolean =>
  thrown instanceof SamescaleError || (thrown as { code?: unknown } | null)?.code === "ERR_SQLITE_ERROR";
