import { canonicalJson, type Json, sha256Of } from "./canonical.ts";

/** One act, as the custody log keeps it. Times are ISO 8601 in UTC. */
export interface Entry {
  /** 1, 2, 3 … without a gap. */
  readonly sequence: number;
  readonly time: string;
  /** Who: role and name, `photographer:mara`. */
  readonly actor: string;
  /** What was done: `file.store`. */
  readonly act: string;
  /** On what: `frame/01J…`. */
  readonly subject: string;
  readonly details: { readonly [key: string]: Json };
  /** Hash of the entry before; 64 zeros in front of the first. */
  readonly previous: string;
  readonly hash: string;
}

/** A point in the log. Kept somewhere else, it proves that nothing up to it was cut or changed. */
export interface Head {
  readonly sequence: number;
  readonly hash: string;
}

export interface ChainFault {
  readonly sequence: number;
  readonly fault: string;
}

const NOTHING_BEFORE = "0".repeat(64);

export const EMPTY_HEAD: Head = { sequence: 0, hash: NOTHING_BEFORE };

/**
 * The line that is hashed, and that an exported log consists of: the hash of the line before, a space, the act
 * as canonical JSON, a line feed. So every line begins with the SHA-256 of the line in front of it, and
 * `sha256sum` alone checks the whole (docs/record.md).
 */
export function lineOf(entry: Omit<Entry, "hash">): string {
  const { act, actor, details, sequence, subject, time } = entry;
  return `${entry.previous} ${canonicalJson({ act, actor, details, sequence, subject, time })}\n`;
}

export function hashOf(entry: Omit<Entry, "hash">): string {
  return sha256Of(lineOf(entry));
}

/** The next entry after `head`. */
export function follow(head: Head, act: Omit<Entry, "sequence" | "previous" | "hash">): Entry {
  const entry = { ...act, sequence: head.sequence + 1, previous: head.hash };
  return { ...entry, hash: hashOf(entry) };
}

/** Computes the head anew from what the entries say; the hashes that they carry are not believed. */
export function headOf(entries: Iterable<Entry>): Head {
  let head = EMPTY_HEAD;
  for (const entry of entries) {
    head = { sequence: head.sequence + 1, hash: hashOf({ ...entry, previous: head.hash }) };
  }
  return head;
}

/**
 * Checks a log from the first entry to the last and, where a head was kept elsewhere, against that. Every
 * fault is named, not only the first: after one, checking goes on from what the faulty entry claims.
 *
 * Found without a head: an entry removed, swapped, inserted or changed anywhere but at the end. Found only with
 * a head kept elsewhere: the end cut off, or the whole log written anew.
 */
export function verifyChain(entries: Iterable<unknown>, kept: Head | null): ChainFault[] {
  const checker = chainChecker(kept);
  const faults: ChainFault[] = [];
  for (const entry of entries) faults.push(...checker.next(entry));
  return [...faults, ...checker.end()];
}

/**
 * The same, entry by entry, for logs that are longer than memory.
 * @param called how faults name the kept head: where it lies, as a person would look for it
 */
export function chainChecker(
  kept: Head | null,
  called = "the kept head",
): {
  next(candidate: unknown): ChainFault[];
  end(): ChainFault[];
  readonly head: Head;
} {
  let head = EMPTY_HEAD;
  return {
    next(candidate) {
      const expected = head.sequence + 1;
      if (!isEntry(candidate)) {
        head = { ...head, sequence: expected };
        return [{ sequence: expected, fault: "is not an entry of a custody log" }];
      }
      const entry = candidate;
      const faults: string[] = [];
      if (entry.sequence !== expected) {
        faults.push(`stands where entry ${expected} belongs`);
      }
      if (entry.previous !== head.hash) {
        faults.push(
          `does not follow the entry before it: it names ${entry.previous}, that one is ${head.hash}`,
        );
      }
      const computed = hashOf(entry);
      if (entry.hash !== computed) {
        faults.push(`was changed: its hash is ${computed}, it carries ${entry.hash}`);
      }
      if (kept?.sequence === entry.sequence && kept.hash !== entry.hash) {
        faults.push(`is not the entry that ${called} names: ${kept.hash}, found ${entry.hash}`);
      }
      head = { sequence: entry.sequence, hash: entry.hash };
      return faults.map((fault) => ({ sequence: entry.sequence, fault }));
    },
    end() {
      if (kept === null || kept.sequence <= head.sequence) return [];
      const fault = `is missing: ${called} names it, the log ends with entry ${head.sequence}`;
      return [{ sequence: kept.sequence, fault }];
    },
    get head() {
      return head;
    },
  };
}

const HEX_64 = /^[0-9a-f]{64}$/;

function isEntry(candidate: unknown): candidate is Entry {
  const entry = candidate as Partial<Entry> | null;
  const shaped =
    typeof entry === "object" &&
    entry !== null &&
    Number.isSafeInteger(entry.sequence) &&
    [entry.time, entry.actor, entry.act, entry.subject].every((text) => typeof text === "string") &&
    typeof entry.details === "object" &&
    entry.details !== null &&
    !Array.isArray(entry.details) &&
    HEX_64.test(entry.previous ?? "") &&
    HEX_64.test(entry.hash ?? "");
  if (!shaped) return false;
  try {
    hashOf(entry as Entry);
    return true;
  } catch {
    return false; // details that have no canonical form were never written by this log
  }
}
