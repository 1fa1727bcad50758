import type { View } from "../src/view.ts";

/** A view for tests; every field can be set. */
export function viewOf(fields: Partial<View>): View {
  return {
    key: "view",
    name: "View",
    part: "lower leg",
    side: "left",
    aspect: "lateral",
    magnification: 0.25,
    orientation: "landscape",
    focalMm: 100,
    fNumber: 16,
    light: "two flashes at 45 degrees",
    backdrop: "plain blue cloth",
    scale: "straight",
    mirrored: false,
    instructions: "",
    cautions: [],
    ...fields,
  };
}
