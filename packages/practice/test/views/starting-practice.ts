import { readdirSync, readFileSync } from "node:fs";
import { parsePractice } from "../../src/read/practice.ts";
import type { PracticeText } from "../../src/read/yaml-file.ts";
import type { View } from "../../src/views/view.ts";

const folder = new URL("../../starting/", import.meta.url);
const read = (path: string): PracticeText => ({ path, text: readFileSync(new URL(path, folder), "utf8") });

export const viewSetTexts: readonly PracticeText[] = readdirSync(new URL("view-sets", folder))
  .sort()
  .map((name) => read(`view-sets/${name}`));
export const otherTexts: readonly PracticeText[] = ["department.yaml", "kit.yaml"].map(read);

/** The practice that a department starts from. */
export const starting = parsePractice([...otherTexts, ...viewSetTexts], "starting");
export const startingViews: readonly (View & { readonly set: string })[] = starting.viewSets.flatMap((set) =>
  set.views.map((view) => ({ ...view, set: set.key })),
);
