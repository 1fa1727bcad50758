import { reportOf } from "@samescale/errors";
import { printable } from "./printable.ts";
import { startProgress } from "./progress.ts";

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

/** As a shell reports the end by that signal. */
const EXIT_STATUS = { SIGINT: 130, SIGTERM: 143 } as const;

/**
 * Answers every input in input order, one line each, whatever happens to its neighbours. Ctrl-C stops between
 * lines. Returns 0, 1 when at least one input could not be read, 130 after Ctrl-C; 0 as well when the reader of
 * standard output stopped early, as it has what it wanted.
 */
export async function answerEach<Input>(each: AnswerEach<Input>): Promise<number> {
  const stop = stopOnSignal();
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
      const answer = await stop.orSettled(running.get(next) as Promise<object>);
      if (typeof answer === "number") return answer;
      running.delete(next);
      if ("error" in answer) unreadable++;
      progress.clear();
      const written = await write(each.json ? `${JSON.stringify(answer)}\n` : `${humanLine(each, answer)}\n`);
      if (!written) return 0;
      progress.step();
    }
    return unreadable > 0 ? 1 : 0;
  } finally {
    progress.clear();
    stop.end();
  }
}

/** One listener per signal for the whole call; `orSettled` gives the exit status instead once a signal has come. */
function stopOnSignal() {
  const controller = new AbortController();
  let status: number | null = null;
  let wake = (_status: number): void => {};
  const interrupt = (name: keyof typeof EXIT_STATUS) => {
    status = EXIT_STATUS[name];
    controller.abort();
    wake(status);
  };
  process.once("SIGINT", interrupt).once("SIGTERM", interrupt);
  return {
    signal: controller.signal,
    orSettled: (work: Promise<object>): Promise<object | number> => {
      if (status !== null) return Promise.resolve(status);
      return new Promise((resolve) => {
        wake = resolve;
        work.then(resolve);
      });
    },
    end: () => process.off("SIGINT", interrupt).off("SIGTERM", interrupt),
  };
}

async function settle<Input>(each: AnswerEach<Input>, input: Input, signal: AbortSignal): Promise<object> {
  try {
    return await each.run(input, signal);
  } catch (thrown) {
    const identity = each.identity(input);
    return { ...identity, error: reportOf(thrown, Object.values(identity).join(" and ")) };
  }
}

function humanLine<Input>(each: AnswerEach<Input>, answer: object): string {
  if (!("error" in answer)) return each.human(answer);
  const { error } = answer as { error: { message: string; help: string; code: string } };
  return `${printable(error.message)}\n  ${error.help} [${error.code}]`;
}

/** Waits for a slow reader instead of filling memory; false when the reader has gone. */
export function write(text: string): Promise<boolean> {
  return new Promise((resolve, reject) => {
    process.stdout.write(text, (error) => {
      if (!error) resolve(true);
      else if ((error as NodeJS.ErrnoException).code === "EPIPE") resolve(false);
      else reject(error);
    });
  });
}
