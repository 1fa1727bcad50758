import type { Mark, Rgb, Ring } from "../artwork/mark.ts";
import { smoothstep } from "../noise/hash.ts";
import { type SkinTone, skinRgb } from "../skin/tone.ts";
import type { BodyArt } from "./body.ts";
import { capsule, crease, curveThrough, flush } from "./shapes.ts";

/** Base and tip of each finger of a right hand seen from behind, fingers up; base and tip radius. */
const FINGERS = [
  { base: [-46, 8], tip: [-72, -28], r0: 12, r1: 9 },
  { base: [-26, -34], tip: [-34, -92], r0: 9.6, r1: 7.4 },
  { base: [-4, -38], tip: [-5, -104], r0: 9.8, r1: 7.6 },
  { base: [17, -34], tip: [22, -94], r0: 9.2, r1: 7.2 },
  { base: [34, -24], tip: [46, -70], r0: 8, r1: 6.2 },
] as const;

const PALM: readonly (readonly [number, number])[] = [
  [-36, -38],
  [-4, -46],
  [30, -38],
  [43, -22],
  [41, 20],
  [30, 56],
  [29, 150],
  [31, 420],
  [-31, 420],
  [-29, 150],
  [-30, 60],
  [-44, 34],
  [-55, 10],
  [-44, -14],
];

/** A hand with its wrist towards +y. Left and right, back and palm are mirror images of one drawing. */
export function handArt(side: "left" | "right", aspect: "dorsal" | "palmar", tone: SkinTone): BodyArt {
  const flip = (side === "right") === (aspect === "dorsal") ? 1 : -1;
  const mirror = (ring: Ring): Ring => (flip === 1 ? ring : mirrored(ring));
  const point = ([x, y]: readonly [number, number]): [number, number] => [flip * x, y];
  const outline = [mirror(curveThrough(PALM))];
  const details: Mark[] = [];
  for (const { base, tip, r0, r1 } of FINGERS) {
    outline.push(mirror(capsule(base[0], base[1], r0, tip[0], tip[1], r1)));
    const [bx, by] = point(base);
    const [tx, ty] = point(tip);
    const angle = Math.atan2(ty - by, tx - bx);
    if (aspect === "dorsal") details.push(nail(tx, ty, r1 * 0.72, angle, tone));
    const acrossX = -Math.sin(angle);
    const acrossY = Math.cos(angle);
    for (const share of aspect === "dorsal" ? [0.36, 0.4, 0.44, 0.72, 0.75] : [0.08, 0.42, 0.45, 0.76]) {
      const half = (r0 + (r1 - r0) * share) * 0.7;
      const cx = bx + (tx - bx) * share;
      const cy = by + (ty - by) * share;
      const sag = aspect === "dorsal" ? 0.8 : -0.6;
      details.push(
        crease(
          [
            [cx - acrossX * half, cy - acrossY * half],
            [cx + Math.cos(angle) * sag, cy + Math.sin(angle) * sag],
            [cx + acrossX * half, cy + acrossY * half],
          ],
          1.1,
          0.16,
        ),
      );
    }
    details.push(flush(bx + (tx - bx) * 0.42, by + (ty - by) * 0.42, r0 * 1.1, 0.12));
    if (aspect === "palmar") details.push(flush(tx, ty, r1 * 1.6, 0.2));
  }
  if (aspect === "palmar") {
    for (const line of PALM_LINES) details.push(crease(line.map(point), 2, 0.34));
  }
  return { outline, roundMm: 11, details, over: [] };
}

const PALM_LINES: readonly (readonly [number, number])[][] = [
  [
    [-40, -2],
    [-22, -6],
    [-6, 8],
    [-2, 34],
    [-8, 60],
  ],
  [
    [-42, -4],
    [-14, -10],
    [14, -2],
    [34, 14],
  ],
  [
    [38, -14],
    [16, -18],
    [-6, -22],
    [-18, -32],
  ],
  [
    [-24, 62],
    [0, 66],
    [24, 62],
  ],
];

function mirrored(ring: Ring): Ring {
  const out = new Float64Array(ring.length);
  for (let i = 0; i < ring.length; i += 2) {
    // The order is turned round as well, so that the ring still turns the same way and unions with the others.
    out[i] = -ring[ring.length - 2 - i]!;
    out[i + 1] = ring[ring.length - 1 - i]!;
  }
  return out;
}

function nail(tx: number, ty: number, radius: number, angle: number, tone: SkinTone): Mark {
  const skin = skinRgb(tone);
  const plate: Rgb = [skin[0] * 1.08 + 0.05, skin[1] * 1.05 + 0.03, skin[2] * 1.05 + 0.03];
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const cx = tx + c * radius * 0.15;
  const cy = ty + s * radius * 0.15;
  const points: number[] = [];
  for (let i = 0; i < 40; i++) {
    const a = (i / 40) * 2 * Math.PI;
    const u = Math.sign(Math.cos(a)) * Math.abs(Math.cos(a)) ** 0.6 * radius * 1.15;
    const v = Math.sign(Math.sin(a)) * Math.abs(Math.sin(a)) ** 0.6 * radius * 0.82;
    points.push(cx + u * c - v * s, cy + u * s + v * c);
  }
  return {
    rings: [Float64Array.from(points)],
    fill: {
      kind: "paint",
      shade: (x, y, out) => {
        const u = ((x - cx) * c + (y - cy) * s) / radius;
        const v = ((y - cy) * c - (x - cx) * s) / radius;
        const tip = smoothstep(0.78, 0.95, u);
        const moon = 1 - smoothstep(-0.95, -0.5, u + 0.5 * v * v);
        const shine = 0.16 * Math.exp(-((v - 0.25) ** 2) * 18);
        const edge = 0.8 + 0.2 * (1 - smoothstep(0.5, 0.85, Math.abs(v)));
        for (let i = 0; i < 3; i++)
          out[i] = (plate[i]! * (1 + 0.12 * moon) * (1 - tip) + 0.66 * tip) * edge + shine;
        out[3] = 0.92;
      },
    },
  };
}
