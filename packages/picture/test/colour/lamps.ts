import type { Triple } from "../../src/colour/space.ts";

/**
 * Light of a lamp in linear sRGB, green 1, as a camera set to `whiteK` shows it.
 * @source Kim2002 (the Planckian locus)
 */
export function lightOf(kelvin: number, whiteK: number): Triple {
  const [lamp, white] = [ofBlackBody(kelvin), ofBlackBody(whiteK)];
  return [lamp[0] / white[0], 1, lamp[2] / white[2]];
}

function ofBlackBody(t: number): Triple {
  const x =
    t <= 4000
      ? -0.2661239e9 / t ** 3 - 0.2343589e6 / t ** 2 + 0.8776956e3 / t + 0.17991
      : -3.0258469e9 / t ** 3 + 2.1070379e6 / t ** 2 + 0.2226347e3 / t + 0.24039;
  const y =
    t <= 4000
      ? -0.9549476 * x ** 3 - 1.37418593 * x ** 2 + 2.09137015 * x - 0.16748867
      : 3.081758 * x ** 3 - 5.8733867 * x ** 2 + 3.75112997 * x - 0.37001483;
  const [X, Z] = [x / y, (1 - x - y) / y];
  const r = 3.2404542 * X - 1.5371385 - 0.4985314 * Z;
  const g = -0.969266 * X + 1.8760108 + 0.041556 * Z;
  const b = 0.0556434 * X - 0.2040259 + 1.0572252 * Z;
  return [r / g, 1, b / g];
}
