import { both, box, fine, line, mark, oval, type Stroke, straight, through } from "./pen.ts";

/** A newborn of 0.5 m on the back: the crown at y = 0. */
const newbornOutline = both(
  line(
    through(
      "22,108 42,124 74,118 104,84 116,62 128,66 122,90 98,132 66,160 58,186 62,236 74,262 102,300 100,330 66,372 58,400 70,424 54,432 40,416 42,384 58,334 50,318 14,288 0,284",
    ),
  ),
);
const newbornHead = line(oval(0, 58, 52, 58));
export const newbornFront: Stroke[] = [
  ...newbornHead,
  ...newbornOutline,
  ...both(fine(through("12,62 22,66 31,61"), through("51,56 57,54 57,70 50,74"))),
  ...fine(through("-4,76 0,79 4,76"), through("-10,92 0,94 10,92"), oval(0, 232, 4)),
];
export const newbornBack: Stroke[] = [
  ...newbornHead,
  ...newbornOutline,
  ...fine("M 0,120 L 0,240", through("0,246 0,264 0,284")),
];
/** On the left side, the right side up: the head to the picture's right. */
export const newbornSide: Stroke[] = [
  ...line(
    through("112,-30 96,-48 40,-58 -40,-52 -96,-56 -140,-36 -146,6 -120,30 -70,26 -30,44 40,44 92,36 116,34"),
    through("116,34 112,20 118,-44 160,-70 206,-56 226,-16 220,12 226,24 214,34 210,48 186,56 150,52 116,34"),
    through("84,-12 60,10 70,52 96,76 110,66 94,40 100,14"),
    through("-104,-10 -60,8 -24,50 -40,74 -90,84 -130,96 -140,76 -100,62 -68,52 -100,32"),
  ),
  ...fine(oval(160, 2, 8, 11), through("202,4 210,8 216,4"), through("198,40 206,40 212,38")),
];

/** A field between drapes. */
export const theatreField: Stroke[] = [
  ...line(straight("-104,-62 104,-62 104,62 -104,62", true)),
  ...mark(through("-66,0 -30,-16 30,-16 66,0 30,16 -30,16", true)),
  ...fine(
    ...[-150, -120, 120, 150].map((x) =>
      through([
        [x, -100],
        [x + 6, -20],
        [x - 4, 60],
        [x + 4, 100],
      ]),
    ),
    through("-100,-84 0,-78 100,-86"),
    through("-100,84 0,80 100,88"),
  ),
];
export const theatreClose: Stroke[] = [
  ...mark(through("-54,0 -26,-18 26,-18 54,0 26,18 -26,18", true)),
  ...fine(through("-34,0 0,-6 34,0"), through("-20,8 4,4 24,8"), "M -70,-40 L -40,-20", "M 70,-40 L 40,-20"),
];

const specimenOutline = through("-44,-2 -36,-20 -10,-24 16,-22 38,-14 46,2 32,16 8,18 -20,20 -38,14", true);
export const specimen: Stroke[] = [
  ...line(specimenOutline),
  ...fine(through("-26,-8 -8,-12 10,-8"), through("0,6 16,2 28,6"), "M -44,-2 L -56,-10", "M -44,-2 L -58,0"),
  ...mark(oval(-44, -2, 1.6)),
];
export const specimenCut: Stroke[] = [
  ...line(specimenOutline),
  ...fine(through("-36,-2 -30,-15 -8,-18 16,-16 32,-10 38,2 28,11 6,12 -18,14 -32,9", true)),
  ...mark(through("-10,-4 2,-9 12,-3 8,5 -5,5", true)),
];

/** The card that tells whose frames follow. */
export const labelFrame: Stroke[] = [
  ...line(box(-30, -19, 60, 38)),
  ...mark(
    box(10, -13, 14, 14),
    box(12.5, -10.5, 3, 3),
    box(18.5, -10.5, 3, 3),
    box(12.5, -4.5, 3, 3),
    "M 18.5,-4.5 L 21.5,-1.5",
  ),
  ...fine("M -24,-11 L 4,-11", "M -24,-5 L 0,-5", "M -24,1 L 4,1", "M -24,11 L 24,11"),
];
