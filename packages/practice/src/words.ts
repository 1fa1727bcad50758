/** A distance as a hand wants it: 1.07 m, 35 cm, 4.5 cm, 8 mm. */
export function sayDistance(mm: number): string {
  const size = Math.abs(mm);
  if (size >= 995) return `${(size / 1000).toFixed(size >= 9950 ? 1 : 2)} m`;
  if (size >= 99.5) return `${Math.round(size / 10)} cm`;
  if (size >= 19.5) return `${(size / 10).toFixed(1).replace(/\.0$/, "")} cm`;
  return `${Math.max(1, Math.round(size))} mm`;
}

/** A change of size by a factor, without its sign: 1.07 is "7 %". */
export const sayFactor = (factor: number): string => {
  const percent = 100 * Math.abs(factor - 1);
  return `${percent >= 10 ? Math.round(percent) : percent.toFixed(1).replace(/\.0$/, "")} %`;
};

/** "a", "a and b", "a, b and c". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

/** A move of the camera, without a full stop: "Move 6 cm back". */
export function sayMove(moveMm: number): string {
  const distance = Math.abs(moveMm);
  const words =
    distance >= 20 ? `${Math.round(distance / 10)} cm` : `${Math.max(1, Math.round(distance))} mm`;
  return `Move ${words} ${moveMm > 0 ? "back" : "closer"}`;
}
