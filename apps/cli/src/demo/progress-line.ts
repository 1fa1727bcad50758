let shown = "";

/** Tells on standard error what is being done: in place on a terminal, one line per kind of work elsewhere. */
export function progressLine(line: string): void {
  if (process.stderr.isTTY) {
    process.stderr.write(`\r\x1b[K${line}`);
    return;
  }
  const kind = line.split(/[:,]/, 1)[0] ?? "";
  if (kind !== "" && kind !== shown) process.stderr.write(`${kind}\n`);
  shown = kind;
}
