import { asSamescaleError } from "@samescale/errors";
import type { Head } from "../custody/chain.ts";
import { keptHead } from "../custody/head-file.ts";
import type { Library } from "../library.ts";
import { derivativeFaults } from "./derivatives.ts";
import { logAndRows } from "./log-and-rows.ts";
import { originalFaults } from "./originals.ts";
import type { Fault, VerifyCounts, VerifyOptions } from "./report.ts";

/**
 * Checks the whole library without changing anything: the database file, the log from the first entry to the last, every row
 * against the last seal that the log has of it, every derivative's inputs and recipe, every original's
 * bytes. Yields each fault; returns what was checked.
 */
export async function* verifyLibrary(
  library: Library,
  options: VerifyOptions = {},
): AsyncGenerator<Fault, VerifyCounts> {
  let faults = 0;
  const count = (fault: Fault): Fault => {
    faults++;
    return fault;
  };
  for (const fault of await library.engineFaults()) {
    yield count({ where: "database", subject: "samescale.db", fault });
  }
  const { head: beside, faults: headFaults } = await headBeside(library);
  for (const fault of headFaults) yield count(fault);
  const heads = [beside, options.kept ?? null].filter((head) => head !== null);
  const log = await logAndRows(library.read, heads, options.signal);
  for (const fault of log.faults) yield count(fault);
  const derived = await derivativeFaults(library.read, options.signal);
  for (const fault of derived.faults) yield count(fault);
  const originals = yield* counted(originalFaults(library, options), count);
  return {
    ...originals,
    entries: log.entries,
    rows: log.rows,
    derivatives: derived.derivatives,
    faults,
    head: log.head,
  };
}

async function* counted<R>(
  from: AsyncGenerator<Fault, R>,
  count: (fault: Fault) => Fault,
): AsyncGenerator<Fault, R> {
  for (;;) {
    const next = await from.next();
    if (next.done) return next.value;
    yield count(next.value);
  }
}

async function headBeside(library: Library): Promise<{ head: Head | null; faults: Fault[] }> {
  const fault = (text: string): Fault => ({ where: "log", subject: "custody.head", fault: text });
  try {
    const head = await keptHead(library.folder);
    return { head, faults: head ? [] : [fault("is missing: nothing here says how far the log went")] };
  } catch (thrown) {
    return { head: null, faults: [fault(asSamescaleError(thrown, library.folder).message)] };
  }
}
