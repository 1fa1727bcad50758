import type { Mark, Ring } from "../artwork/mark.ts";
import { circle, stroke } from "../artwork/shapes.ts";
import { smoothstep } from "../noise/hash.ts";
import { BLOOD } from "../skin/tone.ts";

/** A finger: the hull of two discs. */
export function capsule(x0: number, y0: number, r0: number, x1: number, y1: number, r1: number): Ring {
  const angle = Math.atan2(y1 - y0, x1 - x0);
  const lean = Math.acos(Math.max(-1, Math.min(1, (r0 - r1) / Math.hypot(x1 - x0, y1 - y0))));
  const points: number[] = [];
  for (let i = 0; i <= 20; i++) {
    const a = angle - lean + (2 * lean * i) / 20;
    points.push(x1 + r1 * Math.cos(a), y1 + r1 * Math.sin(a));
  }
  for (let i = 0; i <= 20; i++) {
    const a = angle + lean + ((2 * Math.PI - 2 * lean) * i) / 20;
    points.push(x0 + r0 * Math.cos(a), y0 + r0 * Math.sin(a));
  }
  return Float64Array.from(points);
}

/** A closed curve through points (Catmull-Rom), turning as `rect` does when the points do. */
export function curveThrough(points: readonly (readonly [number, number])[], pieces = 10): Ring {
  const n = points.length;
  const out: number[] = [];
  const at = (i: number): readonly [number, number] => points[(i + n) % n]!;
  for (let i = 0; i < n; i++) {
    const [p0, p1, p2, p3] = [at(i - 1), at(i), at(i + 1), at(i + 2)];
    for (let k = 0; k < pieces; k++) {
      const t = k / pieces;
      for (let c = 0; c < 2; c++) {
        out.push(
          0.5 *
            (2 * p1[c]! +
              (p2[c]! - p0[c]!) * t +
              (2 * p0[c]! - 5 * p1[c]! + 4 * p2[c]! - p3[c]!) * t * t +
              (3 * p1[c]! - p0[c]! - 3 * p2[c]! + p3[c]!) * t * t * t),
        );
      }
    }
  }
  return Float64Array.from(out);
}

/** An open curve through points. */
function smoothed(points: readonly (readonly [number, number])[]): (readonly [number, number])[] {
  if (points.length < 3) return [...points];
  const closed = curveThrough([...points, ...points.slice(1, -1).reverse()], 5);
  const out: [number, number][] = [];
  for (let i = 0; i <= (points.length - 1) * 5; i++) out.push([closed[2 * i]!, closed[2 * i + 1]!]);
  return out;
}

/** A skin crease: a thin dark line in the skin's own colour. */
export function crease(
  through: readonly (readonly [number, number])[],
  widthMm: number,
  depth: number,
): Mark {
  const points = smoothed(through);
  const half = widthMm / 2;
  return {
    rings: stroke(points, widthMm, widthMm * 0.6),
    fill: {
      kind: "stain",
      shade: (x, y, out) => {
        let near = Infinity;
        for (let i = 0; i + 1 < points.length; i++)
          near = Math.min(near, toSegment(x, y, points[i]!, points[i + 1]!));
        const k = depth * (1 - smoothstep(0, half, near));
        out[0] = Math.exp(-k * 0.7);
        out[1] = Math.exp(-k);
        out[2] = Math.exp(-k * 1.1);
      },
    },
  };
}

function toSegment(x: number, y: number, a: readonly [number, number], b: readonly [number, number]): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const t = Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy)));
  return Math.hypot(x - a[0] - t * dx, y - a[1] - t * dy);
}

/** A soft flush of blood. */
export function flush(cx: number, cy: number, radius: number, amount: number): Mark {
  return {
    rings: [circle(cx, cy, radius)],
    fill: {
      kind: "stain",
      shade: (x, y, out) => {
        const rho = Math.hypot(x - cx, y - cy) / radius;
        const k = amount * (1 - smoothstep(0, 1, rho));
        out[0] = Math.exp(-k * BLOOD[0]);
        out[1] = Math.exp(-k * BLOOD[1]);
        out[2] = Math.exp(-k * BLOOD[2]);
      },
    },
  };
}
