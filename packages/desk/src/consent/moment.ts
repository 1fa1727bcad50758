/**
 * When somebody said something: as they tell it, or now. Nothing is said tomorrow.
 * @param said ISO 8601 with its zone
 * @param now ISO 8601 in UTC
 */
export function momentOf(
  said: string | undefined,
  now: string,
): { readonly at: string } | { readonly refused: string } {
  if (said === undefined) return { at: now };
  const time = /^\d{4}-\d\d-\d\dT.*(Z|[+-]\d\d:\d\d)$/.test(said) ? Date.parse(said) : Number.NaN;
  if (Number.isNaN(time)) {
    return { refused: `Expected a time with its zone such as 2026-03-15T09:30:00Z, received ${said}` };
  }
  if (time > Date.parse(now))
    return { refused: `${said} lies in the future; this computer's clock says ${now}` };
  return { at: new Date(time).toISOString() };
}
