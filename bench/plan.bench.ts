import { practiceFolderFor, readPracticeFolder } from "../packages/desk/src/practice/practice-folder.ts";
import { bagList, planViews } from "../packages/practice/src/index.ts";

/** Plans and the bag for a day of 40 requests with the starting practice, beside reading the practice itself. */
const out = (line: string) => process.stdout.write(`${line}\n`);
const start = performance.now();
const practice = await readPracticeFolder(await practiceFolderFor(undefined, null));
const readMs = performance.now() - start;
const times = Array.from({ length: 9 }, () => {
  const began = performance.now();
  const visits = Array.from({ length: 40 }, (_, i) => {
    const set = practice.viewSets[i % practice.viewSets.length]!;
    const place = practice.places[i % practice.places.length]!;
    const plan = planViews(set, practice, { place: place.key, side: "left" });
    return { requestCode: `R-${i}`, place, plan };
  });
  const planned = performance.now();
  bagList(visits, practice, "2026-05-04");
  return { plan: planned - began, bag: performance.now() - planned };
});
const views = practice.viewSets.reduce((sum, set) => sum + set.views.length, 0);
const middle = (of: "plan" | "bag") => times.map((one) => one[of]).sort((a, b) => a - b)[4]!;
out(`reading the practice (${practice.viewSets.length} view sets, ${views} views): ${readMs.toFixed(0)} ms`);
out(
  `40 plans: first ${times[0]!.plan.toFixed(0)} ms, median of 9 ${middle("plan").toFixed(0)} ms; the bag for them ${middle("bag").toFixed(0)} ms`,
);
