import type { Measured } from "@samescale/geometry";

export interface SaidMeasured {
  readonly value: string;
  readonly plusMinus: string;
}

/** A value with its 95 % interval, both to the second digit of the interval: more would not be known. */
export function said({ value, u95 }: Measured): SaidMeasured {
  const digits = u95 > 0 ? Math.min(3, Math.max(0, 1 - Math.floor(Math.log10(u95)))) : 2;
  return { value: value.toFixed(digits), plusMinus: u95.toFixed(digits) };
}

/** The second number of 1:N. */
export function ratioSaid(magnification: number): string {
  const n = 1 / magnification;
  return n.toFixed(n < 10 ? 2 : 1);
}

/** Day and time of this machine, ISO. */
export function momentSaid(iso: string): string {
  const at = new Date(iso);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
export const timeSaid = (iso: string): string => momentSaid(iso).slice(11);
