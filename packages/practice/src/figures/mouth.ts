import { both, fine, line, mark, oval, type Point, type Stroke, straight, through, turnOver } from "./pen.ts";

/** Front teeth at life size about the middle of the bite: half widths from the midline outwards, in mm. */
const UPPER = [8.5, 6.5, 7.5, 7, 6.5] as const;
const LOWER = [5.5, 6, 6.8, 7, 6.8] as const;
const SHORTER = [0, 0.6, 0.2, 1.2, 2] as const;

/** A tooth seen from its lip, hanging from `gum` to `edge`. */
const tooth = (left: number, right: number, gum: number, edge: number): string =>
  through(
    [
      [left + 0.6, (gum + edge) / 2],
      [left + 0.4, edge - Math.sign(edge - gum) * 0.8],
      [(left + right) / 2, edge],
      [right - 0.4, edge - Math.sign(edge - gum) * 0.8],
      [right - 0.6, (gum + edge) / 2],
      [right - 1.6, gum + Math.sign(edge - gum) * 1],
      [(left + right) / 2, gum],
      [left + 1.6, gum + Math.sign(edge - gum) * 1],
    ],
    true,
  );

function row(widths: readonly number[], gum: number, edge: number, from = 0): Stroke[] {
  let at = from;
  return widths.flatMap((width, i) => {
    const drawn = line(tooth(at, at + width, gum + (gum < edge ? 1 : -1) * SHORTER[i % 5]!, edge));
    at += width;
    return drawn;
  });
}

/** Teeth together between retractors. */
export const mouthFront: Stroke[] = [
  ...both([...row(UPPER, -10, 0.6), ...row(LOWER, 10, 1.2)]),
  ...fine(through("-40,-13 -20,-17 0,-15 20,-17 40,-13"), through("-38,13 -20,17 0,15.5 20,17 38,13")),
  ...both(fine(through("38,-24 46,-12 48,0 46,12 38,24"), through("42,-26 51,-12 53,0 51,12 42,26"))),
];

/** The right side of the bite: front teeth to the picture's right. */
const sideWidths = [6, 7, 7.5, 7.5, 10.5, 10] as const;
export const mouthSide: Stroke[] = turnOver([
  ...row(sideWidths, -9.5, 0.4, -24),
  ...row([5.5, 6, 7, 7, 11, 10.5], 9.5, 1.4, -22),
  ...fine(
    through("-34,-15 -8,-15 28,-12"),
    through("-32,16 -6,15 28,13"),
    through("30,-22 37,-8 37,10 30,22"),
  ),
]);

/** The bite's edge from the right side: the overjet is the step between upper and lower incisor. */
export const overjet: Stroke[] = [
  ...line(
    through("13,-16 17,-8 17.5,0 15.6,3 13.6,1 9,-8 8,-14"),
    through("10,17 11.5,9 11,2 9.6,0 8,2 4.5,9 4,15"),
  ),
  ...turnOver([...row([7, 7.5, 7.5, 10.5], -9.5, 0.4, -7), ...row([7, 7, 7, 10], 9.5, 1.4, -3.5)]),
  ...mark(straight("11,21 11,24"), straight("17.5,21 17.5,24"), straight("11,22.5 17.5,22.5")),
];

export const smile: Stroke[] = [
  ...line(
    through("-34,-5 -18,-12 -6,-15 0,-13.5 6,-15 18,-12 34,-5 20,9 0,14 -20,9 -34,-5"),
    through("-32,-5 -14,-6.5 0,-7 14,-6.5 32,-5 16,4 0,7 -16,4 -32,-5"),
  ),
  ...both(
    fine(
      "M 0,-7 L 0,3.4",
      "M 8.4,-6.8 L 8,3",
      "M 14.8,-6.5 L 14,2",
      "M 21,-6 L 19,0.6",
      through("0,3.6 8,3.2 20,0.4 28,-3"),
      through("38,-16 42,-6 40,4"),
    ),
  ),
];

/** A dental arch from its biting side, half of it: middle and radii of each tooth from the midline outwards. */
const ARCH: readonly (readonly [x: number, y: number, rx: number, ry: number])[] = [
  [4.4, -20.6, 4.2, 2.6],
  [12, -18.6, 3.5, 2.6],
  [18.4, -14, 3.6, 3.6],
  [22, -7, 4.4, 3.4],
  [24.4, 0, 4.6, 3.4],
  [26.6, 9, 5.4, 5],
  [28, 19.4, 5.2, 4.8],
];
const arch: Stroke[] = [
  ...both(ARCH.flatMap(([x, y, rx, ry]) => line(oval(x, y, rx, ry)))),
  ...both(
    fine(
      ...ARCH.slice(3).map(([x, y, rx]) =>
        through([
          [x - rx * 0.5, y],
          [x, y + 0.8],
          [x + rx * 0.5, y],
        ]),
      ),
    ),
  ),
];

/** As it is shown once turned back; the incisors up. */
export const archUpper: Stroke[] = [...arch, ...fine("M 0,-15 L 0,24", ...rugae())];
export const archLower: Stroke[] = turnedUpsideDown([
  ...arch,
  ...fine(through("-17,24 -12,2 0,-8 12,2 17,24"), "M 0,-2 L 0,22"),
]);

function rugae(): string[] {
  return [-10, -6, -2].flatMap((y) => [
    through([
      [2, y],
      [7, y - 1.6],
      [11, y + 0.6],
    ]),
    through([
      [-2, y],
      [-7, y - 1.6],
      [-11, y + 0.6],
    ]),
  ]);
}

function turnedUpsideDown(strokes: readonly Stroke[]): Stroke[] {
  return strokes.map(({ path, pen }) => ({
    path: path.replaceAll(/(-?[\d.]+),(-?[\d.]+)/g, (_all, x: string, y: string) => `${x},${-Number(y)}`),
    pen,
  }));
}

const PREMOLARS_AND_MOLARS: readonly Point[] = [
  [-16, 5],
  [-10, 6],
  [-3.4, 6.6],
  [6, 9.4],
  [16, 9],
];
/** The lower right quadrant from the tongue's side, in the mirror as turned back. */
export const quadrant: Stroke[] = [
  ...PREMOLARS_AND_MOLARS.flatMap(([x, width]) => line(tooth(x - width / 2, x + width / 2, 6, -3))),
  ...fine(through("-20,8 0,9 22,8"), through("-20,12 -4,14 22,12")),
];
export const quadrantUpper: Stroke[] = turnedUpsideDown(quadrant);
