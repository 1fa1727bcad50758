import { createInterface } from "node:readline";
import { CommandFailure } from "./failure.ts";

/** Asks for passwords one after the other. They are never arguments: those stand in the list of processes and in history. */
export interface PasswordAsker {
  ask(prompt: string): Promise<string>;
  /** Twice where somebody types, so that a slip is noticed. */
  askNew(prompt: string): Promise<string>;
  close(): void;
}

/** At a terminal without showing what is typed; else one line of standard input for each. */
export function passwordAsker(): PasswordAsker {
  const { stdin } = process;
  if (stdin.isTTY) {
    const ask = typed;
    return {
      ask,
      async askNew(prompt) {
        const first = await ask(prompt);
        if ((await ask("The same again: ")) === first) return first;
        throw CommandFailure.badArguments("The two were not the same", "Nothing was changed; try again.");
      },
      close() {},
    };
  }
  const lines = createInterface({ input: stdin, crlfDelay: Number.POSITIVE_INFINITY });
  const next = lines[Symbol.asyncIterator]();
  const ask = async (prompt: string): Promise<string> => {
    const { value, done } = await next.next();
    if (!done) return value;
    throw CommandFailure.badArguments(
      `Expected a line on standard input for: ${prompt.replace(/:\s*$/, "")}`,
      "Type it at a terminal, or give each password as a line of standard input.",
    );
  };
  return { ask, askNew: ask, close: () => lines.close() };
}

const ENTER = new Set(["\r", "\n", "\u0004"]);
const INTERRUPT = "\u0003";
const RUB_OUT = new Set(["\u007f", "\b"]);
const LINE_AWAY = "\u0015";

/** Nothing is echoed, not even how much was typed. */
function typed(prompt: string): Promise<string> {
  const { stdin, stderr } = process;
  stderr.write(prompt);
  stdin.setRawMode(true);
  stdin.setEncoding("utf8");
  stdin.resume();
  return new Promise((resolve, reject) => {
    let text: string[] = [];
    const end = (done: () => void) => {
      stdin.off("data", take);
      stdin.setRawMode(false);
      stdin.pause();
      stderr.write("\n");
      done();
    };
    const take = (chunk: string) => {
      for (const character of chunk) {
        if (ENTER.has(character)) return end(() => resolve(text.join("")));
        if (character === INTERRUPT) {
          return end(() => reject(CommandFailure.badArguments("Stopped", "Nothing was changed.")));
        }
        if (RUB_OUT.has(character)) text.pop();
        else if (character === LINE_AWAY) text = [];
        else text.push(character);
      }
    };
    stdin.on("data", take);
  });
}
