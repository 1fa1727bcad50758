import { practiceFigures } from "./practice/figures.ts";
import { firstRun, removeDemonstration } from "./practice/first-run.ts";
import { practiceKeeping } from "./practice/keeping.ts";
import { practiceKit } from "./practice/kit.ts";
import { practiceParts } from "./practice/parts.ts";
import { practicePeople } from "./practice/people.ts";
import { practiceRetention } from "./practice/retention.ts";
import { practiceViews } from "./practice/views.ts";
import { practiceWording } from "./practice/wording.ts";

export const practice = {
  ...practiceParts,
  figures: practiceFigures,
  firstRun,
  removeDemonstration,
  keeping: practiceKeeping,
  kit: practiceKit,
  people: practicePeople,
  retention: practiceRetention,
  views: practiceViews,
  wording: practiceWording,
};
