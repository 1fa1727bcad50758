const two = (value: number) => String(value).padStart(2, "0");

/** A moment of the log, on this machine's clock: 2026-03-15 09:02. */
export function minuteOf(iso: string): string {
  const at = new Date(iso);
  const day = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
  return `${day} ${two(at.getHours())}:${two(at.getMinutes())}`;
}
