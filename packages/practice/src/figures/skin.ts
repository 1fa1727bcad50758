import { fine, line, mark, oval, type Stroke, shift, through } from "./pen.ts";

/** What a patch of skin holds, at a usual size, about 0, 0. */
const lesion: Stroke[] = [
  ...mark(through("-4,-1 -2.4,-3.6 1,-4 4,-2 4.4,1.4 2,3.8 -1.6,3.2 -4,2", true)),
  ...fine(oval(-0.6, -0.4, 1.4, 1.1), oval(1.8, 1, 0.8, 0.6)),
];
const wound: Stroke[] = [
  ...mark(through("-22,-3 -14,-12 0,-14 16,-10 24,0 18,11 4,13 -12,12 -21,6", true)),
  ...fine(through("-14,-2 -6,-7 8,-7 16,0 8,6 -8,6", true)),
];
const injury: Stroke[] = [
  ...mark(through("-14,5 -5,1 3,0 14,-6")),
  ...fine(through("-18,6 -12,-4 0,-8 14,-12 19,-5 12,4 0,9 -12,11", true)),
];
const bite: Stroke[] = mark(
  ...[-1, 1].flatMap((side) =>
    [-14, -9, -3, 3, 9, 14].map((x) => oval(x, side * (14 - (x * x) / 32), 1.9, 1.2)),
  ),
);
const burn: Stroke[] = [
  ...mark(through("-44,2 -38,-18 -16,-16 -6,-28 14,-22 30,-24 46,-8 40,10 24,14 12,26 -10,20 -30,24", true)),
  ...fine(through("-22,2 -12,-8 8,-8 22,-2 10,8 -10,8", true)),
];

/** Pores, so that an empty patch is seen to be skin. */
function skin(halfWidth: number): Stroke[] {
  const k = halfWidth / 60;
  return fine(
    ...(
      [
        [-52, -30],
        [-20, -36],
        [26, -32],
        [54, -18],
        [-46, 26],
        [40, 30],
        [2, 36],
        [58, 12],
        [-58, -4],
      ] as const
    ).map(([x, y]) =>
      through([
        [(x - 3) * k, y * k],
        [x * k, (y - 1.4) * k],
        [(x + 3) * k, y * k],
      ]),
    ),
  );
}

export const patchPlain: Stroke[] = skin(66);
export const patchLesion: Stroke[] = [...lesion, ...skin(16)];
export const patchLesionMedium: Stroke[] = [...lesion, ...skin(66)];
export const patchWound: Stroke[] = [...wound, ...skin(66)];
export const patchInjury: Stroke[] = [...injury, ...skin(32)];
export const patchBite: Stroke[] = [...bite, ...skin(34)];
export const patchBurn: Stroke[] = [...burn, ...skin(70)];

/** A landmark at the frame's edge: the crease of a joint. */
const crease = (x: number, half: number): Stroke[] =>
  line(
    through([
      [x, -half],
      [x + half * 0.16, -half * 0.3],
      [x, half * 0.3],
      [x + half * 0.2, half],
    ]),
  );
export const patchWoundOffCentre: Stroke[] = [...shift(wound, -22, 4), ...skin(66), ...crease(52, 40)];
export const patchInjuryOffCentre: Stroke[] = [...shift(injury, -10, 2), ...skin(32), ...crease(27, 20)];

/** A limb between two joints: what shows where a small thing lies. */
const region: Stroke[] = [
  ...line(
    through("-230,-62 -150,-56 -90,-60 0,-66 90,-60 160,-44 230,-46"),
    through("-230,66 -160,58 -90,62 0,66 90,56 160,44 230,46"),
  ),
  ...fine(through("-134,-38 -124,0 -134,38"), through("-122,-34 -113,0 -122,34"), oval(158, -2, 9, 10)),
];
export const regionLesion: Stroke[] = [...region, ...shift(lesion, 20, -8, 1.5)];
export const regionWound: Stroke[] = [...region, ...shift(wound, 20, 0)];
export const regionInjury: Stroke[] = [...region, ...shift(injury, 20, -6, 1.3)];
export const regionBurn: Stroke[] = [...region, ...shift(burn, 14, 0)];
