import { both, fine, line, mark, oval, type Stroke, through } from "./pen.ts";

/** A head of life size: the crown at y = 0, the midline at x = 0, the pupils at y = 112. */
const skull = through(
  "0,0 52,14 76,62 77,112 70,162 46,206 18,226 -18,226 -46,206 -70,162 -77,112 -76,62 -52,14",
  true,
);
const shoulders = both(line(through("50,204 53,250 70,282 150,312 196,350")));
const ear = through("77,100 88,92 95,104 88,132 82,148 73,148");
const hair = fine(through("-70,66 -58,44 0,32 58,44 70,66"));
const brow = through("18,92 36,84 56,90");
const raisedBrow = through("18,82 38,70 58,80");
const eye = fine(through("20,113 36,104 52,112 36,119 20,113"), oval(36, 111, 5));
const tightEye = [
  ...fine(
    through("18,112 36,113 54,110"),
    through("58,102 66,96"),
    through("58,110 68,110"),
    through("57,117 66,123"),
  ),
];
const nose = fine(through("-8,104 -9,130 -17,150 -8,157 0,159 8,157 17,150"));
const lips = fine(
  through("-25,181 -10,176 0,178 10,176 25,181 10,189 -10,189 -25,181"),
  through("-25,181 0,182 25,181"),
);
const smile = mark(through("-33,176 -14,178 0,179 14,178 33,176 16,193 0,196 -16,193 -33,176"));
const teeth = [
  ...mark(through("-32,180 -16,174 0,174 16,174 32,180 16,194 0,195 -16,194 -32,180")),
  ...fine("M -30,184 L 30,184", ...[-18, -6, 6, 18].map((x) => `M ${x},176 L ${x},193`)),
];
const eyes = both(eye);
const brows = both(fine(brow));
const base = [...line(skull), ...both(line(ear)), ...shoulders, ...hair, ...nose];

export const headFront: Stroke[] = [...base, ...brows, ...eyes, ...lips];
export const headSmile: Stroke[] = [...base, ...brows, ...eyes, ...smile];
export const headBrows: Stroke[] = [
  ...base,
  ...both(mark(raisedBrow)),
  ...eyes,
  ...lips,
  ...fine("M -30,60 L 30,60", "M -26,53 L 26,53"),
];
export const headEyesTight: Stroke[] = [
  ...base,
  ...brows,
  ...both(tightEye.map((s) => ({ ...s, pen: "mark" as const }))),
  ...lips,
];
export const headTeeth: Stroke[] = [...base, ...brows, ...eyes, ...teeth];

export const headBack: Stroke[] = [
  ...line(skull),
  ...both(line(ear)),
  ...shoulders,
  ...fine(through("-64,178 -40,206 0,214 40,206 64,178"), through("-7,58 0,52 8,58 4,66 -3,63")),
];

/** The patient's right side. */
export const headSide: Stroke[] = [
  ...line(
    through(
      "-74,214 -80,180 -98,132 -98,82 -74,28 -20,0 40,6 78,40 84,76 86,92 83,104 96,130 106,146 100,154 88,157 92,168 96,174 90,181 95,188 88,196 88,206 82,220 62,226 26,214 18,222 22,262 44,300 70,350",
    ),
    through("-74,214 -76,250 -100,290 -128,350"),
  ),
  ...line(through("-18,148 -24,128 -34,106 -24,90 -8,92 -2,108 -10,124 -12,142 -18,148")),
  ...fine(
    through("-22,100 -12,102 -12,118"),
    through("64,90 76,84 86,88"),
    through("78,104 66,110 78,116"),
    oval(74, 110, 2, 4),
    through("92,156 84,152 86,144"),
    through("90,181 80,182 72,184"),
    through("72,34 44,48 38,78 12,90"),
    through("-74,196 -44,178 -28,150"),
    through("26,214 6,200 -4,160"),
  ),
];

/** Turned 45°, the patient's right side nearer: the nose to the right. */
export const headOblique: Stroke[] = [
  ...line(
    through(
      "-60,206 -84,160 -92,104 -80,48 -36,8 22,2 64,28 78,70 77,92 83,108 78,128 79,150 72,180 58,214 36,228 12,222 -20,196",
    ),
    through("-58,190 -62,250 -92,288 -156,330"),
    through("22,226 28,264 60,296 124,330"),
    through("-44,146 -52,128 -62,106 -52,90 -38,92 -32,108 -38,124 -38,142 -44,146"),
  ),
  ...fine(
    through("52,106 57,130 69,148 60,158 46,156 40,147"),
    through("4,92 24,84 46,92"),
    through("58,92 67,86 75,90"),
    through("8,113 24,104 42,112 26,119 8,113"),
    oval(28, 111, 5),
    through("60,112 69,105 78,111 69,117 60,112"),
    oval(70, 111, 3.5, 5),
    through("24,182 42,176 51,178 59,176 66,181 54,189 40,189 24,182"),
    through("66,44 20,42 -14,62 -26,88"),
  ),
];

/** From below: the tip of the nose level with the brows. */
export const headBasal: Stroke[] = [
  ...line(
    through(
      "-84,110 -80,150 -62,196 -32,226 0,234 32,226 62,196 80,150 84,110 70,64 40,36 0,28 -40,36 -70,64 -84,110",
    ),
    through("-17,151 -24,142 -20,122 -10,92 0,85 10,92 20,122 24,142 17,151"),
    through("-62,196 -66,262 -80,320"),
    through("62,196 66,262 80,320"),
  ),
  ...both(mark(through("5,145 6,128 11,124 15,134 12,146", true))),
  ...fine(through("-30,174 -12,167 0,170 12,167 30,174 0,188 -30,174"), through("-28,208 0,216 28,208")),
  ...both(fine(through("62,84 44,72 24,80"), through("60,98 46,90 32,98 46,103 60,98"))),
  ...both(line(through("84,108 95,116 92,146 78,156"))),
];

/** From above, along the bridge of the nose. */
export const headCephalic: Stroke[] = [
  ...line(
    through("0,0 56,16 80,70 78,130 58,180 26,200 0,204 -26,200 -58,180 -78,130 -80,70 -56,16", true),
    through("-17,202 -13,222 0,231 13,222 17,202"),
    through("-96,60 -190,86 -228,140"),
    through("96,60 190,86 228,140"),
  ),
  ...fine(
    through("-58,178 -40,184 -18,196"),
    through("58,178 40,184 18,196"),
    through("-64,140 0,156 64,140"),
    "M -8,160 L -8,190",
    "M 8,160 L 8,190",
  ),
  ...both(line(through("80,80 92,84 90,108 79,112"))),
];

/** The crown facing the camera, the hair parted. */
export const scalpTop: Stroke[] = [
  ...headCephalic.slice(0, 1),
  ...headCephalic.slice(2, 4),
  ...fine(
    "M 0,14 L 0,170",
    ...[
      [14, 40],
      [22, 80],
      [22, 120],
    ].flatMap(([x, y]) => [
      through([
        [4, y! - 10],
        [x! + 12, y!],
        [62, y! + 34],
      ]),
      through([
        [-4, y! - 10],
        [-x! - 12, y!],
        [-62, y! + 34],
      ]),
    ]),
  ),
  ...mark(through("-5,92 0,86 6,92 3,99")),
];

export const scalpHairline: Stroke[] = [
  ...base.filter((stroke) => !hair.includes(stroke)),
  ...brows,
  ...eyes,
  ...lips,
  ...mark(through("-74,86 -66,58 -40,40 0,34 40,40 66,58 74,86")),
];

/** The scalp close to, with a label scale laid by the view. */
export const scalpParting: Stroke[] = [
  ...mark("M -60,0 C -20,-4 20,4 60,0", "M -60,3 C -20,-1 20,7 60,3"),
  ...fine(
    ...[-48, -36, -24, -12, 0, 12, 24, 36, 48].flatMap((x) => [
      `M ${x},-3 C ${x + 2},-14 ${x + 6},-26 ${x + 12},-40`,
      `M ${x},6 C ${x + 2},16 ${x + 6},28 ${x + 12},42`,
    ]),
  ),
];

/** The ear of the right side, close: its front to the right. */
export const earClose: Stroke[] = [
  ...line(through("14,-10 10,-26 -8,-33 -22,-22 -24,-4 -18,12 -10,26 2,32 10,26 11,14")),
  ...fine(
    through("8,-12 4,-22 -6,-25 -15,-16 -16,-2 -10,10 -3,16"),
    through("-4,-14 -9,-4 -3,8 6,12 10,6"),
    through("14,-10 10,-3 13,3 11,14"),
    through("14,-10 18,-22 20,-40"),
    through("11,14 14,30 10,46"),
  ),
];
