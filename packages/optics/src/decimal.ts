/**
 * A plain decimal as a person types it, with point or comma ("0.1", "5,6"), or null for anything else: no
 * exponents, no hexadecimal, no "Infinity", which in a ratio or a length can only be a slip.
 */
export function parseDecimal(typed: string): number | null {
  const text = typed.trim();
  return /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text) ? Number(text.replace(",", ".")) : null;
}
