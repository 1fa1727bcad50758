import type { BodyArt } from "./body.ts";

const HALF_LENGTH_MM = 700; // past any field at the smallest ratio that shows a limb

/** A band of gently changing width through the surface's origin. */
export function limbArt(widthMm: number, axisDeg: number): BodyArt {
  const c = Math.cos((axisDeg * Math.PI) / 180);
  const s = Math.sin((axisDeg * Math.PI) / 180);
  const half = (along: number, side: number): number =>
    (widthMm / 2) * (1 + 0.07 * Math.sin(along / 150 + side * 0.9) + 0.018 * Math.sin(along / 47 + side * 2));
  const points: number[] = [];
  for (const side of [-1, 1]) {
    for (let i = 0; i <= 140; i++) {
      const along = side * (HALF_LENGTH_MM - i * 10);
      const across = side * half(along, side);
      points.push(along * c - across * s, along * s + across * c);
    }
  }
  return { outline: [Float64Array.from(points)], roundMm: widthMm * 0.42, details: [], over: [] };
}
