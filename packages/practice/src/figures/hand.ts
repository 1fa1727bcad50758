import { fine, line, mark, type Stroke, shift, straight, through, turnOver } from "./pen.ts";

/** The right hand from its back, thumb at the picture's left; finger tips up, wrist at the bottom, middle at 0, 0. */
const outline =
  "-28,118 -30,76 -40,46 -58,26 -76,2 -84,-14 -80,-26 -68,-22 -54,-4 -42,6 -38,-10 -42,-46 -45,-76 -38,-88 -29,-80 -25,-46 -18,-14 -15,-50 -14,-92 -5,-104 4,-92 5,-48 6,-14 14,-46 21,-80 30,-90 37,-78 32,-42 26,-6 38,-28 50,-52 60,-56 64,-44 54,-14 44,18 38,50 30,78 28,118";

const nails = fine(
  through("-43,-76 -37,-84 -32,-77 -33,-70 -41,-69 -43,-76"),
  through("-11,-92 -5,-100 1,-92 0,-84 -9,-84 -11,-92"),
  through("23,-78 30,-86 34,-77 31,-70 24,-71 23,-78"),
  through("51,-48 58,-53 61,-45 57,-39 51,-41 51,-48"),
  through("-82,-16 -78,-23 -71,-18 -72,-12 -79,-9"),
);
const knuckles = fine(
  ...(
    [
      [-31, -2],
      [-6, -8],
      [15, -4],
      [34, 10],
    ] as const
  ).map(([x, y]) =>
    through([
      [x - 6, y],
      [x, y - 4],
      [x + 6, y],
    ]),
  ),
);
const creases = fine(
  through("-36,8 -14,20 8,14 40,20"),
  through("-38,14 -10,34 24,40 38,40"),
  through("-38,10 -18,34 -14,62 -20,82"),
  through("-29,88 0,92 29,88"),
  ...(
    [
      [-37, -46],
      [-5, -54],
      [23, -46],
      [46, -28],
    ] as const
  ).map(([x, y]) =>
    straight([
      [x - 7, y],
      [x + 7, y],
    ]),
  ),
);

export const handDorsal: Stroke[] = [...line(through(outline)), ...nails, ...knuckles];
/** The palm of the right hand: the thumb at the picture's right. */
export const handPalmar: Stroke[] = turnOver([...line(through(outline)), ...creases]);

/** The right hand from its thumb's side, finger tips up. */
export const handRadial: Stroke[] = turnOver([
  ...line(
    through("-22,118 -22,70 -26,30 -20,-10 -18,-60 -12,-100 -4,-104 2,-96 2,-56 6,-16"),
    through("24,118 24,84 32,52 38,20 40,-10 34,-36 24,-38 18,-26 16,0 8,30 -2,54"),
  ),
  ...fine(through("36,-12 36,-30 29,-32 27,-14"), through("4,-50 12,-62 12,-92 4,-98")),
]);

/** The right hand from its little finger's side. */
export const handUlnar: Stroke[] = [
  ...line(
    through("24,118 22,74 28,40 24,6 20,-20 16,-54 8,-60 2,-50 2,-20 -2,6"),
    through("-22,118 -20,74 -24,30 -18,0 -16,-60 -12,-98 -4,-104 2,-96 4,-62"),
  ),
  ...fine(through("22,40 4,48 -6,40"), through("4,-60 10,-80 8,-92 2,-96")),
];

/** Thumbs in: the right hand's thumb lies towards the middle. */
const leftOfTwo = shift(turnOver(handDorsal), -90, 0);
export const handsDorsal: Stroke[] = [...leftOfTwo, ...turnOver(leftOfTwo)];
/** Palms to the camera, thumbs in: the right hand at the picture's left. */
const rightPalm = shift(handPalmar, -90, 0);
export const handsPalmar: Stroke[] = [...rightPalm, ...turnOver(rightPalm)];

const fist = [
  ...line(
    through(
      "-30,90 -34,52 -44,20 -42,-18 -28,-32 -16,-34 -4,-38 8,-36 20,-34 32,-28 42,-10 40,24 32,56 30,90",
    ),
  ),
  ...fine("M -20,-32 L -20,-2", "M 0,-36 L 0,-4", "M 20,-33 L 20,-2", through("-42,-2 -20,0 0,-2 20,0 41,2")),
  ...line(through("44,26 30,12 4,12 -6,22 6,32 30,34")),
];
const leftFist = shift(fist, -90, 0);
export const handsFists: Stroke[] = [...leftFist, ...turnOver(leftFist)];
/** Fingers stretched, with what tells the direction. */
export const handsExtension: Stroke[] = [
  ...handsDorsal,
  ...mark(
    ...[-1, 1].flatMap((side) =>
      [
        [-34, -100, -40, -118],
        [-4, -114, -4, -132],
        [34, -100, 42, -116],
      ].map(([x0, y0, x1, y1]) =>
        straight([
          [side * 90 + side * -x0!, y0!],
          [side * 90 + side * -x1!, y1!],
        ]),
      ),
    ),
  ),
];

/** A finger's end at the picture's middle, the tip up to the left side of a lying frame. */
export const fingerDorsal: Stroke[] = [
  ...line(through("60,-9.5 30,-9 14,-10 0,-9 -12,-8 -20,0 -12,8 0,9 14,10 30,9 60,9.5")),
  ...mark(through("-17,0 -14,-5.5 -4,-6.2 0,-4 1,0 0,4 -4,6.2 -14,5.5", true)),
  ...fine(
    through("-3,-5.6 -4.4,0 -3,5.6"),
    ...[14, 17].map((x) =>
      through([
        [x, -6],
        [x + 1, 0],
        [x, 6],
      ]),
    ),
  ),
];
export const fingerPalmar: Stroke[] = [
  ...fingerDorsal.slice(0, 1),
  ...fine(
    ...[3, 6, 9].map((d) =>
      through([
        [-4 + d * 0.5, -d * 0.75],
        [-8 - d * 0.7, -d * 0.35],
        [-8 - d * 0.7, d * 0.35],
        [-4 + d * 0.5, d * 0.75],
      ]),
    ),
    ...[12, 14.5].map((x) =>
      straight([
        [x, -7.5],
        [x, 7.5],
      ]),
    ),
  ),
];

/** The right arm held out, from the front: the shoulder at the picture's right. */
const armOut = line(
  through(
    "360,-110 330,-60 250,-44 120,-38 0,-34 -120,-30 -200,-24 -240,-32 -300,-28 -350,-14 -362,-2 -344,8 -280,20 -236,28 -200,24 -120,32 0,36 120,44 240,58 290,90 300,160",
  ),
  through("-238,-32 -266,-54 -300,-62 -310,-52 -286,-38 -262,-28"),
);
export const armFront: Stroke[] = [
  ...armOut,
  ...fine("M -300,-14 L -356,-6", "M -300,2 L -352,2", through("8,-28 14,0 6,28"), "M -200,-20 L -200,20"),
];
export const armBack: Stroke[] = turnOver([
  ...armOut,
  ...fine("M -300,-14 L -356,-6", "M -300,2 L -352,2", through("4,-20 -8,0 4,20")),
]);
/** The right forearm, palm up, elbow at the picture's right. */
export const forearm: Stroke[] = shift(armFront, 100, 0);

/** An elbow bent, its point to the picture's left. */
export const elbow: Stroke[] = [
  ...line(
    through("120,-80 40,-62 -30,-44 -62,-10 -58,26 -20,52 50,68 130,84"),
    through("130,-8 70,-2 44,6 72,16 132,22"),
  ),
  ...mark(through("-50,8 -38,-6 -24,0 -22,16 -36,26", true)),
];
