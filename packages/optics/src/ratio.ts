import { SamescaleError } from "@samescale/errors";
import { requirePositive } from "./check.ts";
import { parseDecimal } from "./decimal.ts";

/**
 * Reads a reproduction ratio as a person types it and gives the magnification: "1:10" (or "1/10") is 0.1,
 * "10:1" is 10, "0.1" is 0.1, "0.5x" is 0.5. A bare number above 1 is refused, not guessed: "10" may be
 * meant as 1:10 or as 10:1. Fault: that, and anything that is no ratio or not above 0.
 * @example parseRatio("1:10") // 0.1
 */
export function parseRatio(typed: string): number {
  const magnification = readRatio(typed);
  if (magnification !== null && Number.isFinite(magnification) && magnification > 0) return magnification;
  const bare = parseDecimal(typed);
  throw new SamescaleError(
    "RATIO_UNREADABLE",
    `Expected a reproduction ratio such as 1:10, 2:1 or 0.1, received ${JSON.stringify(typed)}`,
    bare !== null && bare > 1
      ? `Type 1:${bare} for smaller than life size, or ${bare}:1 for larger.`
      : "Type size on the sensor : size of the subject, both above 0.",
  );
}

function readRatio(typed: string): number | null {
  const sides = typed.split(/[:/∶]/);
  if (sides.length === 2) {
    const image = parseDecimal(sides[0] ?? "");
    const subject = parseDecimal(sides[1] ?? "");
    return image !== null && subject !== null && image > 0 && subject > 0 ? image / subject : null;
  }
  const times = /^(.*)[x×]$/i.exec(typed.trim());
  if (times) return parseDecimal(times[1] ?? "");
  const bare = parseDecimal(typed);
  return bare !== null && bare <= 1 ? bare : null;
}

/**
 * Writes a magnification as a ratio with three significant digits, enough for the 1 % that a reading
 * promises: 0.1 is "1:10", 0.0653 "1:15.3", 1.9466 "1.95:1". Fault: a magnification not above 0.
 * @example formatRatio(0.1) // "1:10"
 */
export function formatRatio(magnification: number): string {
  requirePositive("magnification", magnification);
  return magnification < 1 ? `1:${threeDigits(1 / magnification)}` : `${threeDigits(magnification)}:1`;
}

function threeDigits(value: number): string {
  return value >= 100 ? String(Math.round(value)) : String(Number(value.toPrecision(3)));
}
