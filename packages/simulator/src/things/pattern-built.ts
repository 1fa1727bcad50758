import { ink, type Mark, type Ring } from "../artwork/mark.ts";
import { rect, roundedRect } from "../artwork/shapes.ts";
import { grey, rgb8 } from "../colour/colour.ts";
import { smoothNoise, unit2 } from "../noise/hash.ts";

/** Patterns of separate parts that somebody has put together. */
export type BuiltPattern = "fence" | "brickwork" | "slats" | "zip";

export function builtMarks(pattern: BuiltPattern, w: number, h: number, p: number): Mark[] {
  switch (pattern) {
    case "fence":
      return fence(w, h, p);
    case "brickwork":
      return brickwork(w, h, p);
    case "slats":
      return slats(w, h, p);
    case "zip":
      return zip(w, h, p);
  }
}

/** Pointed pales on two rails, before a dark ground. */
function fence(w: number, h: number, p: number): Mark[] {
  const half = 0.3 * p;
  const pales: Ring[] = [];
  for (let x = -w / 2 + p / 2; x + half < w / 2; x += p) {
    pales.push(
      Float64Array.of(
        x - half,
        -h / 2 + half,
        x,
        -h / 2,
        x + half,
        -h / 2 + half,
        x + half,
        h / 2,
        x - half,
        h / 2,
      ),
    );
  }
  const rails = [
    rect(-w / 2, -h / 4, w / 2, -h / 4 + 0.35 * p),
    rect(-w / 2, h / 4, w / 2, h / 4 + 0.35 * p),
  ];
  const wood = rgb8(198, 176, 146);
  return [
    ink([rect(-w / 2, -h / 2, w / 2, h / 2)], rgb8(52, 70, 44)),
    ink(rails, rgb8(150, 128, 100)),
    {
      rings: pales,
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const k =
            0.8 + 0.2 * unit2(Math.floor((x + w / 2) / p), 0, 7) + 0.08 * smoothNoise(x * 2, y * 0.2, 4);
          for (let i = 0; i < 3; i++) out[i] = wood[i]! * k;
          out[3] = 1;
        },
      },
    },
  ];
}

/** Stretcher bond: each course half a brick on, mortar between. */
function brickwork(w: number, h: number, p: number): Mark[] {
  const course = p / 3;
  const joint = 0.05 * p;
  const bricks: Ring[] = [];
  for (let j = 0; j * course < h; j++) {
    for (let x = -w / 2 - (j % 2) * 0.5 * p; x < w / 2; x += p) {
      const [left, right] = [Math.max(-w / 2, x + joint), Math.min(w / 2, x + p)];
      const y = -h / 2 + j * course;
      if (right - left > joint) bricks.push(rect(left, y + joint, right, Math.min(h / 2, y + course)));
    }
  }
  const red = rgb8(158, 84, 62);
  return [
    ink([rect(-w / 2, -h / 2, w / 2, h / 2)], rgb8(176, 168, 156)),
    {
      rings: bricks,
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const j = Math.floor((y + h / 2) / course);
          const i = Math.floor((x + w / 2 + (j % 2) * 0.5 * p) / p);
          const k = 0.7 + 0.5 * unit2(i, j, 3) + 0.12 * smoothNoise(x * 1.3, y * 1.3, 9);
          for (let c = 0; c < 3; c++) out[c] = red[c]! * k;
          out[3] = 1;
        },
      },
    },
  ];
}

/** A blind: each slat bright at its upper edge and in its own shade below. */
function slats(w: number, h: number, p: number): Mark[] {
  return [
    {
      rings: [rect(-w / 2, -h / 2, w / 2, h / 2)],
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const at = (x + w / 2) / p;
          const t = at - Math.floor(at);
          const k = (t < 0.12 ? 0.08 : 0.62 - 0.34 * t) * (1 + 0.03 * smoothNoise(x / 8, y / 40, 2));
          out[0] = k;
          out[1] = k * 0.98;
          out[2] = k * 0.93;
          out[3] = 1;
        },
      },
    },
  ];
}

/** Two rows of teeth that reach into each other, on tapes of cloth. */
function zip(w: number, h: number, p: number): Mark[] {
  const teeth: Ring[] = [];
  const reach = Math.min(0.35 * h, 2.2 * p);
  for (let i = 0, x = -w / 2 + p / 2; x + 0.3 * p < w / 2; i++, x += p / 2) {
    const side = i % 2 === 0 ? 1 : -1;
    const [from, to] = [-0.25 * reach * side, reach * side];
    teeth.push(roundedRect(x - 0.19 * p, Math.min(from, to), x + 0.19 * p, Math.max(from, to), 0.12 * p));
  }
  return [
    ink([rect(-w / 2, -h / 2, w / 2, h / 2)], rgb8(40, 44, 58)),
    ink([rect(-w / 2, -0.6 * reach, w / 2, 0.6 * reach)], grey(0.01)),
    {
      rings: teeth,
      fill: {
        kind: "paint",
        shade: (x, y, out) => {
          const k = 0.42 + 0.18 * Math.cos((2 * Math.PI * y) / reach) + 0.06 * smoothNoise(x, y, 6);
          out[0] = k;
          out[1] = k * 0.9;
          out[2] = k * 0.62;
          out[3] = 1;
        },
      },
    },
  ];
}
