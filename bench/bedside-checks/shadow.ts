import type { Picture } from "../../packages/simulator/src/index.ts";

const linearOf = Float64Array.from({ length: 256 }, (_, v) => {
  const c = v / 255;
  return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
});

const coded = (light: number): number =>
  255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055);

/** Share of the frame's long side by which the shadow lies beside the body, and over which its edge turns. */
const REACH = 0.06;
const SOFT = 0.008;

/**
 * The shadow that a lamp throws of the body on the backdrop, which the virtual camera does not draw: the body's own
 * shape, moved, darkens what is not body.
 * @param strength share of the light that it takes
 */
export function shadowed(
  picture: Picture,
  inside: (x: number, y: number) => boolean,
  { strength, towardsDeg }: { readonly strength: number; readonly towardsDeg: number },
): Picture {
  const { widthPx, heightPx } = picture;
  const long = Math.max(widthPx, heightPx);
  const step = Math.max(1, Math.round((SOFT * long) / 3));
  const dx = REACH * long * Math.cos((towardsDeg * Math.PI) / 180);
  const dy = REACH * long * Math.sin((towardsDeg * Math.PI) / 180);
  const columns = Math.ceil(widthPx / step) + 1;
  const rows = Math.ceil(heightPx / step) + 1;
  const shade = new Float32Array(columns * rows);
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) {
      let dark = 0;
      for (let v = -1; v <= 1; v++)
        for (let u = -1; u <= 1; u++) if (inside((i + u) * step - dx, (j + v) * step - dy)) dark++;
      shade[j * columns + i] = dark / 9;
    }
  }
  const rgb = picture.rgb.slice();
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const [u, v] = [x / step, y / step];
      const [i, j] = [Math.floor(u), Math.floor(v)];
      const k = j * columns + i;
      const a = shade[k]! + (shade[k + 1]! - shade[k]!) * (u - i);
      const b = shade[k + columns]! + (shade[k + columns + 1]! - shade[k + columns]!) * (u - i);
      const dark = a + (b - a) * (v - j);
      if (dark === 0 || inside(x + 0.5, y + 0.5)) continue;
      const p = 3 * (y * widthPx + x);
      for (let c = 0; c < 3; c++)
        rgb[p + c] = Math.round(coded(linearOf[rgb[p + c]!]! * (1 - strength * dark)));
    }
  }
  return { ...picture, rgb };
}
