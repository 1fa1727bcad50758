import type { PicturePool } from "@samescale/picture";
import { answerEach } from "./answer-each.ts";

/** How a command that works on one photograph after another answers. */
export interface AnswerPhotos {
  readonly photos: readonly string[];
  readonly json: boolean;
  run(photo: string, pool: PicturePool, signal: AbortSignal): Promise<object>;
  /** For a person; `answer` is what `run` gave. Untrusted text in it has to go through `printable`. */
  human(answer: object): string;
}

/**
 * Answers every photograph in order, over worker threads that live as long as the call; returns the exit
 * status. One photograph uses a thread as well: it costs some 90 ms of processor time and keeps Ctrl-C prompt.
 *
 * @example The module of a command, in full:
 * ```ts
 * export function configure(command: Command, exit: (code: number) => void): void {
 *   jsonOption(photoArguments(command));
 *   command.option("--near <x,y>", "look close to this point", numbers("--near", ["x", "y"]));
 *   command.action(async (photos: string[], options: JsonOption & { near?: [number, number] }) => {
 *     const { near } = options;
 *     exit(
 *       await answerPhotos({
 *         photos,
 *         json: options.json === true,
 *         run: (file, pool, signal) => pool.run("scale", near ? { file, near } : { file }, signal),
 *         human: (answer) => humanScale(answer as ScaleAnswer),
 *       }),
 *     );
 *   });
 * }
 * ```
 */
export async function answerPhotos(each: AnswerPhotos): Promise<number> {
  return await withPool(each.photos.length, (pool) =>
    answerEach({
      inputs: each.photos,
      atOnce: pool.threads,
      json: each.json,
      run: (photo, signal) => each.run(photo, pool, signal),
      identity: (file) => ({ file }),
      human: each.human,
    }),
  );
}

/** Worker threads for as long as `use` runs, no more than there are inputs; gone afterwards, whatever happened. */
export async function withPool<T>(inputCount: number, use: (pool: PicturePool) => Promise<T>): Promise<T> {
  const { createPicturePool, defaultThreads } = await import("@samescale/picture");
  const pool = createPicturePool(Math.max(1, Math.min(defaultThreads(), inputCount)));
  try {
    return await use(pool);
  } finally {
    await pool.close();
  }
}
