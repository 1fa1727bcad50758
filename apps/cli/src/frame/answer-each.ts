import { reportOf } from "@samescale/errors";
import { printable } from "./printable.ts";

/** How a command with many photographs answers. */
export interface AnswerEach<Input> {
  readonly inputs: readonly Input[];
  /** How many run at once; also bounds memory, as no further input is begun before its turn. */
  readonly atOnce: number;
  /** Answers one input; what it throws becomes that input's error line. */
  run(input: Input, signal: AbortSignal): Promise<object>;
  /** The line's identity when it failed: `{ file }`, or `{ baseline, followup }`. */
  identity(input: Input): Readonly<Record<string, string>>;
  /** One JSON object per line when true, else `human`. */
  readonly json: boolean;
  human(answer: object): string;
}

/**
 * Answers every input in input order, one line each, whatever happens to its neighbours. Ctrl-C stops between
 * lines (exit 130). Returns 0, or 1 when at least one input could not be read.
 */
export async function answerEach<Input>(each: AnswerEach<Input>): Promise<number> {
  const stop = new AbortController();
  const onInterrupt = () => stop.abort();
  process.once("SIGINT", onInterrupt);
  process.once("SIGTERM", onInterrupt);
  const progress = startProgress(each.inputs.length);
  let unreadable = 0;
  try {
    const running = new Map<number, Promise<object>>();
    let begun = 0;
    for (let next = 0; next < each.inputs.length; next++) {
      while (begun < each.inputs.length && begun < next + each.atOnce) {
        running.set(begun, settle(each, each.inputs[begun] as Input, stop.signal));
        begun++;
      }
      const answer = (await Promise.race([running.get(next), aborted(stop.signal)])) as object;
      running.delete(next);
      if ("error" in answer) unreadable++;
      await write(each.json ? `${JSON.stringify(answer)}\n` : `${humanLine(each, answer)}\n`);
      progress.step();
    }
    return unreadable > 0 ? 1 : 0;
  } catch (thrown) {
    if (stop.signal.aborted) return 130;
    throw thrown;
  } finally {
    progress.end();
    process.off("SIGINT", onInterrupt);
    process.off("SIGTERM", onInterrupt);
  }
}

async function settle<Input>(each: AnswerEach<Input>, input: Input, signal: AbortSignal): Promise<object> {
  try {
    return await each.run(input, signal);
  } catch (thrown) {
    const identity = each.identity(input);
    return { ...identity, error: reportOf(thrown, Object.values(identity).join(" and ")) };
  }
}

function aborted(signal: AbortSignal): Promise<never> {
  return new Promise((_, reject) => {
    if (signal.aborted) reject(signal.reason);
    else signal.addEventListener("abort", () => reject(signal.reason), { once: true });
  });
}

function humanLine<Input>(each: AnswerEach<Input>, answer: object): string {
  if (!("error" in answer)) return each.human(answer);
  const { error, ...identity } = answer as { error: { message: string; help: string; code: string } };
  const who = Object.values(identity).join(" and ");
  return `${printable(who)}: ${printable(error.message)}\n  ${error.help} [${error.code}]`;
}

/** Waits for a slow reader instead of filling memory. */
function write(text: string): Promise<void> {
  return new Promise((resolve, reject) => {
    process.stdout.write(text, (error) => (error ? reject(error) : resolve()));
  });
}

/** A counter on standard error, only where a person looks on and the work takes long enough to wonder. */
function startProgress(total: number): { step(): void; end(): void } {
  if (!process.stderr.isTTY || total < 2) return { step() {}, end() {} };
  const start = performance.now();
  let done = 0;
  return {
    step() {
      done++;
      const leftS = Math.round((((performance.now() - start) / done) * (total - done)) / 1000);
      process.stderr.write(`\r${done} of ${total}, about ${leftS} s left (Ctrl-C stops) \x1b[K`);
    },
    end() {
      process.stderr.write("\r\x1b[K");
    },
  };
}
