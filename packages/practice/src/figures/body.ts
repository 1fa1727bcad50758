import { both, fine, line, mark, oval, type Stroke, through } from "./pen.ts";

/** A grown person of 1.8 m, neutral: the crown at y = 0, the midline at x = 0. */
const head = line(oval(0, 112, 76, 110));
const ears = both(fine(through("75,92 86,86 86,128 73,136")));

const neckToArmpit = through(
  "48,200 52,262 120,296 188,322 218,390 246,560 290,720 318,850 338,920 336,990 312,1012 288,960 272,860 226,700 196,570 172,440",
);
const trunkToCrotch = through(
  "172,440 158,540 144,640 152,740 176,850 178,960 150,1140 122,1290 126,1400 104,1540 82,1680 88,1740 112,1786 62,1796 36,1760 40,1680 34,1540 30,1400 34,1290 24,1100 6,930",
);
const trunk = both(line(trunkToCrotch));
const knees = both(fine(through("56,1270 78,1300 100,1270")));
const face = fine(
  through("-40,96 -28,92 -18,97"),
  through("40,96 28,92 18,97"),
  through("-22,164 0,169 22,164"),
);
const clavicles = both(fine(through("16,304 70,296 140,306")));
const chest = both(fine(through("150,470 96,512 30,492")));
const navel = fine(oval(0, 700, 6));
const arms = both(line(neckToArmpit));

export const bodyFront: Stroke[] = [
  ...head,
  ...ears,
  ...face,
  ...arms,
  ...trunk,
  ...clavicles,
  ...chest,
  ...navel,
  ...knees,
];

export const bodyBack: Stroke[] = [
  ...head,
  ...ears,
  ...arms,
  ...trunk,
  ...fine(through("0,270 0,480 0,770"), through("0,800 0,880 0,930")),
  ...both(
    fine(
      through("130,380 70,420 84,520"),
      through("16,930 80,950 150,915"),
      through("52,1290 78,1300 106,1290"),
    ),
  ),
];

export const bodyArmsRaised: Stroke[] = [
  ...head,
  ...ears,
  ...face,
  ...trunk,
  ...clavicles,
  ...both(fine(through("150,456 100,490 36,476"))),
  ...navel,
  ...both(
    line(
      through("48,200 52,258 104,268 122,160 116,-60 124,-250"),
      through("172,440 206,330 216,180 190,-60 178,-250"),
    ),
  ),
];

/** The patient's right side: the nose to the right. */
const profile = through(
  "-2,4 52,14 86,64 84,96 106,134 90,146 92,168 84,180 84,204 34,216 34,268 76,320 118,430 118,520 104,640 114,740 104,860 96,960 88,1140 72,1270 70,1330 54,1480 46,1660 60,1710 168,1768 168,1796 -48,1796 -62,1740 -40,1650 -72,1460 -70,1390 -46,1280 -72,1140 -92,1000 -128,900 -112,810 -64,690 -92,520 -102,400 -60,280 -70,210 -102,150 -104,80 -62,20 -2,4",
);

const armOfSide = line(
  through(
    "-48,350 -62,470 -52,610 -20,740 12,860 24,960 48,980 62,920 46,840 28,720 28,600 36,470 34,370 -8,326 -48,350",
  ),
);
const earOfSide = fine(through("-20,96 -30,84 -12,78 2,92 -2,116 -12,132"));
const eyeOfSide = fine(through("62,98 72,96 76,102"));

export const bodySide: Stroke[] = [...line(profile), ...armOfSide, ...earOfSide, ...eyeOfSide];

/** Arm behind, so that the chest shows. */
export const bodySideArmBack: Stroke[] = [
  ...line(profile),
  ...earOfSide,
  ...eyeOfSide,
  ...line(
    through("30,372 -4,326 -54,346 -84,480 -122,620 -108,740 -84,800"),
    through("30,372 -4,480 -56,610 -62,690"),
  ),
  ...fine(through("44,500 92,520 120,492")),
];

/** Turned 45°, the patient's right side nearer. */
export const bodyOblique: Stroke[] = [
  ...line(
    oval(14, 112, 84, 110),
    through("-38,202 -44,262 -110,300 -150,350 -176,480 -184,620 -146,760 -96,880 -84,930"),
    through("-100,440 -112,600 -92,740 -48,870 -44,930 -84,930"),
    through(
      "64,206 66,262 116,300 150,350 156,430 150,520 124,640 136,740 140,860 126,1000 112,1140 88,1290 92,1400 66,1560 58,1690 110,1780 30,1796",
    ),
    through("150,360 178,460 176,600 164,700 146,790"),
    through(
      "-150,770 -156,900 -140,1080 -108,1290 -122,1420 -92,1560 -72,1690 -76,1770 0,1796 14,1770 -14,1690 -12,1540 -20,1400 -14,1290 4,1080 22,930",
    ),
  ),
  ...fine(
    through("48,92 58,89 68,94"),
    through("94,94 88,90 84,94"),
    through("78,100 92,134 76,142"),
    through("54,166 74,170 88,165"),
    through("-30,92 -46,80 -46,118 -30,132"),
    through("-70,470 -16,508 48,486"),
    through("66,488 114,506 146,476"),
    oval(66, 700, 4, 6),
    through("-20,306 34,300 62,308 100,300"),
  ),
];

/** Where a patient who lies presses most. */
export const sacrum: Stroke[] = [...bodyBack, ...mark(oval(0, 812, 24, 30))];
export const hip: Stroke[] = [...line(profile), ...mark(oval(-14, 862, 24, 28))];
