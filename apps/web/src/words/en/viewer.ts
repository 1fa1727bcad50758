/** Pictures, looked at closely. */
export const viewer = {
  keys: "Picture",
  larger: "Larger",
  smaller: "Smaller",
  fit: "Whole picture",
  pixels: "100 %: one pixel of the picture on one of the screen",
  pixelsShort: "100 %",
  zoom: (percent: number) => `${percent} %`,
  move: "Arrows move the picture. Plus, minus and 0 make it larger, smaller, whole.",
  point:
    "Arrows move the cross, with Shift ten times as far. Enter sets a point, Shift and Enter one of the other kind. Plus, minus and 0 make the picture larger, smaller, whole.",
  crossAt: (x: number, y: number) => `Cross at ${Math.round(x)}, ${Math.round(y)} px`,
};
