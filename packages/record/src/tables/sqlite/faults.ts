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
  const say = (code: string, message: string, help: string) =>
    new SamescaleError(code, `${message}: ${file} (${(thrown as Error).message})`, help, { cause: thrown });
  switch (resultOf(thrown)) {
    case RESULT.FULL:
      return say("DISK_FULL", "The disk is full", "Free some space and run the same command again.");
    case RESULT.BUSY:
      return say(
        "LIBRARY_BUSY",
        "Another program keeps the library locked",
        "Wait until it has finished, or close it, and run the same command again.",
      );
    case RESULT.CORRUPT:
    case RESULT.NOTADB:
      return say(
        "LIBRARY_DAMAGED",
        "The library's database is damaged or is no database",
        "Do not write to it; put the last backup beside it and compare. The originals folder is untouched by this.",
      );
    case RESULT.PERM:
    case RESULT.READONLY:
    case RESULT.CANTOPEN:
      return say(
        "FILE_NOT_PERMITTED",
        "The library's database may not be opened or written",
        "Ask for permission on the folder, or choose another library.",
      );
    case RESULT.IOERR:
      return say(
        "LIBRARY_DISK_FAULT",
        "The disk under the library failed while reading or writing",
        "Check that the disk is connected and not full; what was said to be stored is stored.",
      );
    case RESULT.CONSTRAINT:
      return say(
        "TABLES_REFUSED",
        "The database refused a change",
        "Please report it with this message; nothing was changed.",
      );
    default:
      return thrown;
  }
}
