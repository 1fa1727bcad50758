const two = (value: number) => String(value).padStart(2, "0");

/** A moment of the log (ISO 8601 in UTC) on this machine's clock: 2026-03-15 09:02. */
export function minuteOf(iso: string): string {
  const at = new Date(iso);
  const day = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
  return `${day} ${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** Whom the log names: `photographer:Robin [01J…]` is Robin. */
export const personOf = (actor: string): string => actor.replace(/^[a-z]+:/, "").replace(/ \[[^\]]*\]$/, "");
