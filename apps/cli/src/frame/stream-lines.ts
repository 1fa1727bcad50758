import { write } from "./answer-each.ts";

/** How a command answers whose lines come from one long piece of work. */
export interface StreamLines<Line extends object> {
  /** Stops by throwing when the signal is aborted, leaving nothing half-written. */
  lines(signal: AbortSignal): AsyncIterable<Line>;
  /** One JSON object per line when true, else `human`. */
  readonly json: boolean;
  /** Null: nothing to say to a person about this line. */
  human(line: Line): string | null;
  /** Takes the progress off the screen, so that the line stands for itself. */
  clearProgress(): void;
}

/**
 * Prints the lines as they come. Returns 0, or 130 after Ctrl-C (143 after SIGTERM), once the work has come to
 * its safe end. A reader that stops early stops the work as well.
 */
export async function streamLines<Line extends object>(stream: StreamLines<Line>): Promise<number> {
  const stop = new AbortController();
  let status = 0;
  const interrupt = (name: "SIGINT" | "SIGTERM") => {
    status = name === "SIGINT" ? 130 : 143;
    stop.abort();
  };
  process.once("SIGINT", interrupt).once("SIGTERM", interrupt);
  try {
    for await (const line of stream.lines(stop.signal)) {
      const text = stream.json ? JSON.stringify(line) : stream.human(line);
      stream.clearProgress();
      if (text !== null && !(await write(`${text}\n`))) break;
    }
    return status;
  } catch (thrown) {
    if (status !== 0) return status;
    throw thrown;
  } finally {
    stream.clearProgress();
    process.off("SIGINT", interrupt).off("SIGTERM", interrupt);
  }
}
