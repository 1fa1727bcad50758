/** A line on standard error that is drawn over itself, only where a person looks on. */
export function rateLine(): { show(text: (seconds: number) => string): void; clear(): void } {
  if (!process.stderr.isTTY) return { show() {}, clear() {} };
  const REDRAW_MS = 200;
  const began = performance.now();
  let drawn = 0;
  return {
    show(text) {
      const now = performance.now();
      if (now - drawn < REDRAW_MS) return;
      drawn = now;
      process.stderr.write(`\r${text((now - began) / 1000)} (Ctrl-C stops) \x1b[K`);
    },
    clear: () => process.stderr.write("\r\x1b[K"),
  };
}

export const inMB = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;
