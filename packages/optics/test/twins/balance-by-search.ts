import { airyDiscMm, effectiveFNumber } from "../../src/index.ts";
import { limitsBySearch, type TwinLens } from "./depth-by-image-side.ts";

/** Both blurs at the ends of a depth, in quadrature, from the searched depth of field: no formula of the fast code. */
export function blurAtEndsMm(lens: TwinLens, fNumber: number, depthMm: number, wavelengthNm: number): number {
  let [low, high] = [1e-9, 100];
  for (let i = 0; i < 100; i++) {
    const cocMm = Math.sqrt(low * high);
    const { nearMm, farMm } = limitsBySearch(lens, fNumber, cocMm);
    if (farMm - nearMm < depthMm) low = cocMm;
    else high = cocMm;
  }
  const airyMm = airyDiscMm(effectiveFNumber(fNumber, lens.magnification, lens.pupilRatio), wavelengthNm);
  return Math.hypot(Math.sqrt(low * high), airyMm);
}

/** The f-number with the least blur, by golden section over f/0.1 to f/10000. */
export function leastBlurFNumber(lens: TwinLens, depthMm: number, wavelengthNm: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  const blur = (log: number) => blurAtEndsMm(lens, Math.exp(log), depthMm, wavelengthNm);
  let [low, high] = [Math.log(0.1), Math.log(10_000)];
  for (let i = 0; i < 40; i++) {
    const [a, b] = [high - golden * (high - low), low + golden * (high - low)];
    if (blur(a) < blur(b)) high = b;
    else low = a;
  }
  return Math.exp((low + high) / 2);
}
