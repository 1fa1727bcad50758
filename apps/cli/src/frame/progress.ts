/** A counter on standard error, only where a person looks on and there is more than one input. */
export function startProgress(total: number): { step(): void; clear(): void } {
  if (!process.stderr.isTTY || total < 2) return { step() {}, clear() {} };
  const start = performance.now();
  let done = 0;
  return {
    step() {
      done++;
      if (done === total) return;
      const leftS = Math.round((((performance.now() - start) / done) * (total - done)) / 1000);
      process.stderr.write(`\r${done} of ${total}, about ${leftS} s left (Ctrl-C stops) \x1b[K`);
    },
    clear() {
      process.stderr.write("\r\x1b[K");
    },
  };
}
