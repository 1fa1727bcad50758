/**
 * The one error class of the project. It says what happened, to which file or field, and what to do.
 * Every code has a row in `docs/errors.md`; a test compares the two lists both ways.
 *
 * Throwing is for input that cannot be read and for faults of our own. "Not found", "not sure" and
 * "refused" are returned values (style anchor 11).
 */
export class SamescaleError extends Error {
  readonly code: string;
  /** What the person can do about it, one sentence. */
  readonly help: string;

  /**
   * @param code UPPER_SNAKE_CASE, never reused for another meaning
   * @param message what happened, to which file or field, expected and received
   * @param help what to do
   */
  constructor(code: string, message: string, help: string, options?: ErrorOptions) {
    super(message, options);
    this.name = "SamescaleError";
    this.code = code;
    this.help = help;
  }
}

/** The shape in which an error travels: in NDJSON lines, between threads, in HTTP answers. */
export interface ErrorReport {
  readonly code: string;
  readonly message: string;
  readonly help: string;
}

const SYSTEM_FAULTS: Readonly<Record<string, readonly [code: string, message: string, help: string]>> = {
  ENOENT: ["FILE_MISSING", "There is no such file", "Check the path; a card may have been unplugged."],
  EISDIR: ["FILE_IS_FOLDER", "This is a folder, a file was expected", "Name the pictures inside it."],
  EACCES: ["FILE_NOT_PERMITTED", "Reading is not permitted", "Ask for permission to read it."],
  EPERM: ["FILE_NOT_PERMITTED", "Reading is not permitted", "Ask for permission to read it."],
  ENOTDIR: ["FILE_MISSING", "A part of the path is not a folder", "Check the path."],
  ELOOP: ["FILE_MISSING", "The path runs in a circle of links", "Name the file itself."],
  ENAMETOOLONG: ["FILE_MISSING", "The path is longer than the system allows", "Use a shorter path."],
  ENOSPC: [
    "DISK_FULL",
    "The disk is full",
    "Free some space and run the same command again; nothing was lost.",
  ],
  EDQUOT: ["DISK_FULL", "The disk quota is used up", "Free some space and run the same command again."],
  EIO: [
    "DISK_FAULT",
    "The disk or card failed",
    "Connect it again and run the same command; if it fails again, write nothing to it and have it recovered.",
  ],
  ENODEV: ["DISK_FAULT", "The disk or card is gone", "Connect it again and run the same command."],
  ENXIO: ["DISK_FAULT", "The disk or card is gone", "Connect it again and run the same command."],
  EROFS: ["FILE_NOT_PERMITTED", "The disk can only be read", "Choose another folder to write to."],
};

/** Whatever was thrown, as a report a person can act on. Never a stack trace. `subject`: the file or field. */
export function reportOf(thrown: unknown, subject: string): ErrorReport {
  if (thrown instanceof SamescaleError) {
    return { code: thrown.code, message: thrown.message, help: thrown.help };
  }
  const system = (thrown as { code?: unknown } | null)?.code;
  const known = typeof system === "string" ? SYSTEM_FAULTS[system] : undefined;
  if (known) return { code: known[0], message: `${known[1]}: ${subject}`, help: known[2] };
  const text = thrown instanceof Error ? thrown.message : String(thrown);
  return {
    code: "INTERNAL",
    message: `A fault of our own while working on ${subject}: ${text}`,
    help: "Please report it with this message; your files are as they were.",
  };
}

/** The same, as a SamescaleError to be thrown on. */
export function asSamescaleError(thrown: unknown, subject: string): SamescaleError {
  if (thrown instanceof SamescaleError) return thrown;
  const report = reportOf(thrown, subject);
  return new SamescaleError(report.code, report.message, report.help, { cause: thrown });
}
