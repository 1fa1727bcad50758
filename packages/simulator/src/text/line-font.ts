/**
 * A plain line font of our own, as engravers use: each character is a few strokes on a grid 4 wide and 6 high, y
 * down from the cap line. Digits and the letters that scales carry.
 */
const STROKES: Readonly<Record<string, string>> = {
  "0": "1,0 3,0 4,1 4,5 3,6 1,6 0,5 0,1 1,0",
  "1": "1,1 2,0 2,6",
  "2": "0,1 1,0 3,0 4,1 4,2 0,6 4,6",
  "3": "0,1 1,0 3,0 4,1 4,2 3,3 1.5,3|3,3 4,4 4,5 3,6 1,6 0,5",
  "4": "3,6 3,0 0,4 4,4",
  "5": "4,0 0,0 0,2.6 3,2.6 4,3.6 4,5 3,6 1,6 0,5",
  "6": "3.5,0 2,0 0,2.5 0,5 1,6 3,6 4,5 4,4 3,3 1,3 0,4",
  "7": "0,0 4,0 1.5,6",
  "8": "1,3 0,2 0,1 1,0 3,0 4,1 4,2 3,3 1,3 0,4 0,5 1,6 3,6 4,5 4,4 3,3",
  "9": "0.5,6 2,6 4,3.5 4,1 3,0 1,0 0,1 0,2 1,3 3,3 4,2",
  m: "0,6 0,3|0,3.6 0.6,3 1.4,3 2,3.6 2,6|2,3.6 2.6,3 3.4,3 4,3.6 4,6",
  c: "3.5,3.5 3,3 1,3 0,4 0,5 1,6 3,6 3.5,5.5",
  i: "1,3 1,6|1,1.6 1,2",
  n: "0,6 0,3|0,3.8 1,3 2.5,3 3.2,3.8 3.2,6",
  h: "0,6 0,0|0,3.8 1,3 2.5,3 3.2,3.8 3.2,6",
  ".": "0.4,5.6 0.6,6",
  "/": "0,6 3,0",
  "-": "0.5,3.2 3,3.2",
};

const ADVANCE = 5.4;

/** Polylines of a character in cap heights, y down from the cap line; and how far the next one starts. */
export function lineCharacter(character: string): { lines: [number, number][][]; advance: number } {
  const strokes = STROKES[character];
  const scale = 1 / 6;
  if (!strokes) return { lines: [], advance: (ADVANCE / 2) * scale };
  const lines = strokes.split("|").map((line) =>
    line.split(" ").map((pair): [number, number] => {
      const [x, y] = pair.split(",").map(Number);
      return [x! * scale, y! * scale];
    }),
  );
  return { lines, advance: (character === "i" || character === "." ? 2.6 : ADVANCE) * scale };
}
