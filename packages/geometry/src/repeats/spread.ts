export const meanOf = (values: readonly number[]): number =>
  values.reduce((a, b) => a + b, 0) / values.length;

/** Standard deviation of a sample (n - 1). */
export function sdOf(values: readonly number[]): number {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (values.length - 1));
}
