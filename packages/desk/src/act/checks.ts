/** A day of the calendar, YYYY-MM-DD. */
export function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const date = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().startsWith(text);
}

/** Something written, and nothing that steers a terminal or hides. */
export function isPlainText(text: string): boolean {
  return (
    text.trim() !== "" && text.isWellFormed() && !/[\p{Cc}\u2028\u2029\u202a-\u202e\u2066-\u2069]/u.test(text)
  );
}
