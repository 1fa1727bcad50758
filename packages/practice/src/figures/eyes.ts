import {
  both,
  fine,
  line,
  mark,
  oval,
  type Point,
  type Stroke,
  shift,
  straight,
  through,
  turnOver,
} from "./pen.ts";

/** One eye of life size about its pupil, the outer corner at +x (an eye at the right of the picture). */
const upperLid = "-15,2 -8,-5 1,-7 9,-4 15,1";
const lowerLid = "-15,2 -6,6 3,6.5 15,1";
const brow = line(through("-16,-19 -4,-24 10,-23 20,-17"));
const fold = fine(through("-13,-5 1,-12 15,-5"));

function open(iris: Point): Stroke[] {
  return [
    ...line(through(upperLid), through(lowerLid)),
    ...mark(oval(iris[0], iris[1], 4.6)),
    ...fine(oval(iris[0], iris[1], 1.7)),
    ...brow,
    ...fold,
  ];
}

const bridge = both(fine(through("7,-14 6,4 9,18")));

/** Both eyes, each iris moved the same way: x towards the picture's right. */
function pair(x: number, y: number): Stroke[] {
  return [...shift(open([x, y]), 32, 0), ...shift(turnOver(open([-x, y])), -32, 0), ...bridge];
}

export const eyesAhead: Stroke[] = pair(0, -0.5);
/** The upper lid hides the top of the iris. */
export const eyesUp: Stroke[] = [
  ...both(
    shift(
      [
        ...line(through(upperLid), through(lowerLid)),
        ...mark(through("-4,-6.2 -4.9,-3.4 -3.2,-0.4 0,0.8 3.2,-0.4 4.9,-3.4 4.6,-6")),
        ...fine(oval(0, -3.6, 1.7)),
        ...brow,
        ...fold,
      ],
      32,
      0,
    ),
  ),
  ...bridge,
];
/** The lids follow the gaze. */
export const eyesDown: Stroke[] = [
  ...both(
    shift(
      [
        ...line(through("-15,2 -8,0 1,-1 9,0 15,1"), through(lowerLid)),
        ...mark(through("-5,-0.6 -3,4 0,5.4 3,4 5,-0.6")),
        ...brow,
        ...fold,
      ],
      32,
      0,
    ),
  ),
  ...bridge,
];
/** The patient's right is the picture's left. */
export const eyesRight: Stroke[] = pair(-5.6, -0.3);
export const eyesLeft: Stroke[] = pair(5.6, -0.3);
export const eyesClosed: Stroke[] = [
  ...both(
    shift(
      [
        ...mark(through(lowerLid)),
        ...brow,
        ...fine(
          ...[-8, -2, 4, 10].map((x) =>
            straight([
              [x, 6.4],
              [x * 1.1, 10],
            ]),
          ),
        ),
      ],
      32,
      0,
    ),
  ),
  ...bridge,
];

/** The right eye: its outer corner to the picture's left. */
export const eyeClose: Stroke[] = turnOver([
  ...line(through(upperLid), through(lowerLid)),
  ...mark(oval(0, -0.5, 5.6), oval(0, -0.5, 2)),
  ...fold,
  ...fine(through("-15,2 -12.5,3 -12,0")),
]);
