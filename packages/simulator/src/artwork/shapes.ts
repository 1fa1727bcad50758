import type { Ring } from "./mark.ts";

/** Rectangle from corner to corner; always turns the same way, whatever the order of the corners. */
export function rect(x0: number, y0: number, x1: number, y1: number): Ring {
  const [l, r] = x0 < x1 ? [x0, x1] : [x1, x0];
  const [t, b] = y0 < y1 ? [y0, y1] : [y1, y0];
  return Float64Array.of(l, t, r, t, r, b, l, b);
}

/** Rectangle with rounded corners. */
export function roundedRect(x0: number, y0: number, x1: number, y1: number, radius: number): Ring {
  const r = Math.min(radius, (x1 - x0) / 2, (y1 - y0) / 2);
  if (r <= 0) return rect(x0, y0, x1, y1);
  const points: number[] = [];
  const corner = (cx: number, cy: number, from: number): void => {
    for (let i = 0; i <= 8; i++) {
      const a = from + (i / 8) * (Math.PI / 2);
      points.push(cx + r * Math.cos(a), cy + r * Math.sin(a));
    }
  };
  corner(x0 + r, y0 + r, Math.PI);
  corner(x1 - r, y0 + r, -Math.PI / 2);
  corner(x1 - r, y1 - r, 0);
  corner(x0 + r, y1 - r, Math.PI / 2);
  return Float64Array.from(points);
}

export function circle(cx: number, cy: number, radius: number, sides = 96): Ring {
  // The polygon's area equals the disc's, so that a drawn circle weighs what its truth says.
  const step = (2 * Math.PI) / sides;
  const r = radius * Math.sqrt(step / Math.sin(step));
  const out = new Float64Array(sides * 2);
  for (let i = 0; i < sides; i++) {
    out[i * 2] = cx + r * Math.cos(i * step);
    out[i * 2 + 1] = cy + r * Math.sin(i * step);
  }
  return out;
}

export function reversed(ring: Ring): Ring {
  const out = new Float64Array(ring.length);
  for (let i = 0; i < ring.length; i += 2) {
    out[i] = ring[ring.length - 2 - i]!;
    out[i + 1] = ring[ring.length - 1 - i]!;
  }
  return out;
}

/** Ring between two circles, as outline and hole. */
export const annulus = (cx: number, cy: number, outer: number, inner: number): Ring[] => [
  circle(cx, cy, outer),
  reversed(circle(cx, cy, inner)),
];

/** A line of the given width through points, one quadrilateral per piece plus round joints; tapers to `endWidth`. */
export function stroke(
  points: readonly (readonly [number, number])[],
  width: number,
  endWidth = width,
): Ring[] {
  const rings: Ring[] = [];
  const last = points.length - 1;
  for (let i = 0; i < last; i++) {
    const [x0, y0] = points[i]!;
    const [x1, y1] = points[i + 1]!;
    const length = Math.hypot(x1 - x0, y1 - y0);
    if (length === 0) continue;
    const w0 = (width + ((endWidth - width) * i) / last) / 2;
    const w1 = (width + ((endWidth - width) * (i + 1)) / last) / 2;
    const nx = -(y1 - y0) / length;
    const ny = (x1 - x0) / length;
    rings.push(
      Float64Array.of(
        x0 - nx * w0,
        y0 - ny * w0,
        x1 - nx * w1,
        y1 - ny * w1,
        x1 + nx * w1,
        y1 + ny * w1,
        x0 + nx * w0,
        y0 + ny * w0,
      ),
    );
    if (i > 0) rings.push(circle(x0, y0, w0, 12));
  }
  return rings;
}

/** Moves, turns and scales a ring: p -> offset + scale R(turn) p. */
export function placed(ring: Ring, dx: number, dy: number, turnDeg = 0, scale = 1): Ring {
  const c = Math.cos((turnDeg * Math.PI) / 180) * scale;
  const s = Math.sin((turnDeg * Math.PI) / 180) * scale;
  const out = new Float64Array(ring.length);
  for (let i = 0; i < ring.length; i += 2) {
    const x = ring[i]!;
    const y = ring[i + 1]!;
    out[i] = dx + x * c - y * s;
    out[i + 1] = dy + x * s + y * c;
  }
  return out;
}

/** Area by the surveyor's formula, positive for a ring that turns as `rect` does. */
export function signedArea(ring: Ring): number {
  let sum = 0;
  const n = ring.length;
  for (let i = 0; i < n; i += 2) {
    const j = (i + 2) % n;
    sum += ring[i]! * ring[j + 1]! - ring[j]! * ring[i + 1]!;
  }
  return sum / 2;
}
