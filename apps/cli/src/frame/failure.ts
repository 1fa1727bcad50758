import { type ErrorReport, reportOf } from "@samescale/errors";

/** A command that could not do its work at all (as against one input among many that could not be read). */
export class CommandFailure extends Error {
  readonly report: ErrorReport;
  readonly exitCode: 1 | 2;

  private constructor(report: ErrorReport, exitCode: 1 | 2) {
    super(report.message);
    this.report = report;
    this.exitCode = exitCode;
  }

  /** Exit 2: what was typed cannot be understood. */
  static badArguments(message: string, help: string): CommandFailure {
    return new CommandFailure({ code: "BAD_ARGUMENTS", message, help }, 2);
  }

  /** Exit 1: anything that was thrown, with what it was about. */
  static from(thrown: unknown, subject: string): CommandFailure {
    return new CommandFailure(reportOf(thrown, subject), 1);
  }
}

/** Says it on standard error, in two lines a person can act on; returns the exit status. */
export function tellFailure(failure: CommandFailure): number {
  process.stderr.write(
    `samescale: ${failure.report.message}\n  ${failure.report.help} [${failure.report.code}]\n`,
  );
  return failure.exitCode;
}
