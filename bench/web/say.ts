import { cpus, loadavg } from "node:os";

export const say = (text: string) => process.stdout.write(`${text}\n`);

/** The machine and how busy it was: a figure without them says little. */
export const machine = (): string =>
  `${cpus().length} × ${cpus()[0]?.model ?? "processor"}, load ${loadavg()[0]?.toFixed(1)}`;

/** Value below which the given share lies. */
export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

export const median = (values: readonly number[]): number => percentile(values, 0.5);
