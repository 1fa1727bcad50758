import { SamescaleError } from "@samescale/errors";

/** Primary result codes of SQLite (sqlite.org/rescode.html); the extended ones carry them in the low byte. */
const RESULT = {
  PERM: 3,
  BUSY: 5,
  READONLY: 8,
  IOERR: 10,
  CORRUPT: 11,
  FULL: 13,
  CANTOPEN: 14,
  CONSTRAINT: 19,
  NOTADB: 26,
} as const;

function resultOf(thrown: unknown): number | null {
  const { code, errcode } = thrown as { code?: unknown; errcode?: unknown };
  return code === "ERR_SQLITE_ERROR" && typeof errcode === "number" ? errcode & 0xff : null;
}

/** What SQLite says, as an error a person can act on. Anything else comes back as it is. */
export function asTablesError(thrown: unknown, file: string): unknown {
  const about = (what: string) => `${what}: ${file} (${(thrown as Error).message})`;
  const options = { cause: thrown };
  switch (resultOf(thrown)) {
    case RESULT.FULL:
      return new SamescaleError(
        "DISK_FULL",
        about("The disk is full"),
        "Free some space and run the same command again.",
        options,
      );
    case RESULT.BUSY:
      return new SamescaleError(
        "LIBRARY_BUSY",
        about("Another program keeps the library locked"),
        "Wait until it has finished, or close it, and run the same command again.",
        options,
      );
    case RESULT.CORRUPT:
    case RESULT.NOTADB:
      return new SamescaleError(
        "LIBRARY_DAMAGED",
        about("The library's database is damaged or is no database"),
        "Do not write to it; put the last backup beside it and compare. The originals folder is untouched by this.",
        options,
      );
    case RESULT.PERM:
    case RESULT.READONLY:
    case RESULT.CANTOPEN:
      return new SamescaleError(
        "FILE_NOT_PERMITTED",
        about("The library's database may not be opened or written"),
        "Ask for permission on the folder, or choose another library.",
        options,
      );
    case RESULT.IOERR:
      return new SamescaleError(
        "LIBRARY_DISK_FAULT",
        about("The disk under the library failed while reading or writing"),
        "Check that the disk is connected and not full; what was said to be stored is stored.",
        options,
      );
    case RESULT.CONSTRAINT:
      return new SamescaleError(
        "TABLES_REFUSED",
        about("The database refused a change"),
        "Please report it with this message; nothing was changed.",
        options,
      );
    default:
      return thrown;
  }
}
