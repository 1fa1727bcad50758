import { headFront } from "./head.ts";
import { box, fine, line, mark, oval, type Stroke, shift, straight, through } from "./pen.ts";

/** Head and shoulders, the eyes at y = 112. */
export const portrait: Stroke[] = [
  ...headFront,
  ...line(through("196,350 222,440 230,620"), through("-196,350 -222,440 -230,620")),
  ...fine(straight("-62,276 0,400 62,276"), straight("0,400 0,620")),
];

/** As far as the hands. */
export const portraitHalf: Stroke[] = [
  ...portrait,
  ...line(
    through("230,620 222,700 120,760 -20,744"),
    through("-230,620 -222,700 -120,740 20,768"),
    through("150,500 146,640 154,690"),
    through("-150,500 -146,640 -154,690"),
    through("-150,770 -156,860"),
    through("150,780 156,860"),
  ),
];

const person = (x: number, y: number): Stroke[] =>
  shift(
    line(
      oval(0, 112, 80, 110),
      through("-52,204 -56,262 -190,320 -226,420 -236,700"),
      through("52,204 56,262 190,320 226,420 236,700"),
    ),
    x,
    y,
  );
const front = (x: number): Stroke[] => person(x, 120);
export const group: Stroke[] = [
  ...front(-520),
  ...front(0),
  ...front(520),
  ...person(-260, -120).slice(0, 1),
  ...person(260, -120).slice(0, 1),
];

/** A speaker before rows of heads. */
export const event: Stroke[] = [
  ...shift(person(0, 0), -900, -900, 1),
  ...line(straight("-1150,-180 -700,-180 -740,400 -1110,400 -1150,-180")),
  ...mark(box(-200, -1100, 1300, 800)),
  ...fine("M 0,-480 L 250,-700 L 480,-600 L 900,-960"),
  ...[0, 1].flatMap((row) =>
    [-1400, -700, 0, 700, 1400].flatMap((x) =>
      shift(line(oval(0, 0, 130, 160)), x + row * 350, 600 + row * 430),
    ),
  ),
];

/** A room from its door. */
export const room: Stroke[] = [
  ...line(
    box(-900, -700, 1800, 1100),
    "M -2100,-1400 L -900,-700",
    "M 2100,-1400 L 900,-700",
    "M -2100,1400 L -900,400",
    "M 2100,1400 L 900,400",
  ),
  ...fine(
    box(-420, -520, 840, 480),
    "M 0,-520 L 0,-40",
    straight("1150,-500 1700,-720 1700,1020 1150,590", false),
  ),
  ...mark(
    straight("-1250,560 -420,560 -560,320 -1080,320", true),
    "M -1250,560 L -1250,900",
    "M -420,560 L -420,900",
  ),
];
export const roomDetail: Stroke[] = [
  ...line(box(-420, -320, 420, 640)),
  ...fine(oval(-60, 20, 20), "M -380,-280 L -40,-280"),
  ...mark(box(180, -160, 320, 220), "M 220,-100 L 460,-100", "M 220,-40 L 400,-40"),
];

/** Some apparatus on its stand. */
export const equipment: Stroke[] = [
  ...line(
    box(-170, -170, 340, 230),
    "M 0,60 L 0,170",
    straight("-130,190 0,165 130,190"),
    oval(-130, 200, 14),
    oval(130, 200, 14),
  ),
  ...mark(box(-140, -140, 190, 130)),
  ...fine(
    oval(110, -110, 24),
    oval(110, -40, 24),
    through("-130,-70 -100,-70 -85,-110 -70,-40 -55,-75 40,-75"),
    "M -140,25 L 140,25",
  ),
];
export const equipmentDetail: Stroke[] = [
  ...line(oval(0, 0, 30), oval(0, 0, 22)),
  ...mark("M 0,0 L 12,-16"),
  ...fine(
    ...Array.from({ length: 9 }, (_, i) => {
      const turn = ((i - 4) * Math.PI) / 6 - Math.PI / 2;
      return straight([
        [36 * Math.cos(turn), 36 * Math.sin(turn)],
        [42 * Math.cos(turn), 42 * Math.sin(turn)],
      ]);
    }),
  ),
];
export const equipmentPlate: Stroke[] = [
  ...line(box(-26, -14, 52, 22)),
  ...fine(
    "M -21,-8 L 8,-8",
    "M -21,-3 L 16,-3",
    "M -21,2 L 2,2",
    oval(-23.5, -11.5, 0.8),
    oval(23.5, -11.5, 0.8),
  ),
  ...mark("M 10,2 L 20,2"),
];
