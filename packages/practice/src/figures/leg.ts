import { fine, line, mark, oval, type Stroke, shift, straight, thing, through, turnOver } from "./pen.ts";

/** The right leg from the front: the outer side at the picture's left, the sole at y = 930. */
const legLines = line(
  through(
    "-120,-60 -124,60 -108,200 -80,360 -66,440 -72,520 -62,620 -44,760 -34,840 -40,880 -58,918 -30,932 12,930 26,900 28,850 30,760 48,620 58,540 50,450 54,360 74,200 84,60 86,-20",
  ),
);
const toes = fine(
  ...[-46, -34, -22, -8].map((x) =>
    through([
      [x, 930],
      [x + 4, 922],
      [x + 9, 930],
    ]),
  ),
);
export const legFront: Stroke[] = [
  ...legLines,
  ...toes,
  ...fine(through("-36,410 -28,448 -6,456 16,448 24,410"), through("-6,480 -4,620 -4,800")),
];
/** The right leg from behind: the outer side at the picture's right. */
export const legBack: Stroke[] = turnOver([
  ...legLines,
  ...fine(
    through("-50,436 -8,446 34,436"),
    through("-8,470 -6,580 -2,640"),
    "M -10,780 L -8,880",
    "M 6,780 L 4,880",
  ),
]);
/** The right leg from its outer side: the toes to the right. */
const sideLines = line(
  through(
    "-110,-60 -100,60 -84,220 -64,380 -58,440 -80,520 -78,600 -46,740 -40,820 -58,880 -54,926 -20,932 60,930 150,930 164,914 140,894 80,866 42,830 38,740 46,600 60,480 64,430 76,370 104,200 112,60 108,-40",
  ),
);
export const legLateral: Stroke[] = [
  ...sideLines,
  ...fine(oval(-2, 856, 14, 16), through("34,390 52,420 42,456")),
];
/** The right leg from its inner side: the toes to the left. */
export const legMedial: Stroke[] = turnOver([
  ...sideLines,
  ...fine(oval(4, 850, 12, 14), through("60,924 90,906 124,926"), through("30,396 50,424 38,452")),
]);

/** The right foot's sole, toes up: the great toe to the right. */
const footOutline = through(
  "-26,120 -34,70 -44,10 -48,-40 -46,-66 -40,-78 -28,-90 -12,-104 4,-112 20,-122 34,-116 38,-92 36,-60 30,-10 26,50 28,90 22,122 0,132",
  true,
);
const toeLines = fine(
  "M 14,-116 L 12,-86",
  "M -2,-108 L -3,-84",
  "M -18,-98 L -17,-76",
  "M -34,-84 L -31,-64",
);
/** The back of the right foot, toes up: the great toe to the left. */
export const footDorsal: Stroke[] = turnOver([
  ...line(footOutline),
  ...toeLines,
  ...fine(through("20,-116 26,-120 31,-114 28,-106 21,-107 20,-116"), through("-22,60 0,40 20,62")),
]);
/** The sole of the right foot, toes up: the great toe to the right. */
export const footPlantar: Stroke[] = [
  ...line(footOutline),
  ...toeLines,
  ...fine(through("-40,-48 -6,-40 34,-56"), through("18,-30 2,10 6,60"), oval(0, 98, 18, 20)),
];

const footSide = line(
  through(
    "-44,-150 -42,-80 -60,-30 -62,20 -46,40 -6,38 50,34 100,40 160,40 178,26 160,4 110,-22 60,-48 38,-82 34,-150",
  ),
);
/** The right foot from its outer side, toes to the right. */
export const footLateral: Stroke[] = shift(
  [
    ...footSide,
    ...fine(
      oval(-4, -44, 13, 15),
      ...[120, 136, 150].map((x) =>
        through([
          [x, 38],
          [x + 6, 22],
          [x + 14, 36],
        ]),
      ),
    ),
  ],
  -50,
  30,
);
/** The right foot from its inner side, toes to the left. */
export const footMedial: Stroke[] = turnOver(
  shift(
    [...footSide, ...fine(oval(2, -50, 11, 13), through("0,38 50,18 96,38"), through("146,16 160,8 174,22"))],
    -50,
    30,
  ),
);

/** Both feet, a hand's breadth apart, the ankles about y = 0. */
const standing = shift(legFront, -98, -860);
export const feetFront: Stroke[] = [...standing, ...turnOver(standing)];
const heel = [
  ...legLines,
  ...fine("M -8,760 L -6,860", "M 8,760 L 6,860"),
  ...mark(through("-34,884 -4,896 24,884")),
];
const heelStanding = shift(heel, -98, -860);
export const feetBack: Stroke[] = [...turnOver(heelStanding), ...heelStanding];

/** A heel above a mirror that lies on the floor: the sole's end shows in it. */
export const heelMirror: Stroke[] = [
  ...line(
    through("-22,-140 -24,-100 -34,-62 -30,-34 0,-26 70,-30 118,-30"),
    through("34,-140 38,-104 70,-74 124,-54"),
  ),
  ...fine(oval(4, -88, 8, 9)),
  ...thing(straight("-62,-18 70,-18 92,44 -86,44", true)),
  ...line(through("66,-8 10,-11 -28,-5 -36,9 -26,23 12,29 72,26")),
  ...mark(through("-20,9 -10,1 4,5 4,15 -10,18", true)),
  ...fine("M 84,38 L 70,24", "M 78,38 L 70,30"),
];
