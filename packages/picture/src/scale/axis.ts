/** Direction of an undirected line, degrees: -90 < a <= 90, x right, y down. */
export function axisDeg(x: number, y: number): number {
  const a = (Math.atan2(y, x) * 180) / Math.PI;
  return a > 90 ? a - 180 : a <= -90 ? a + 180 : a;
}
