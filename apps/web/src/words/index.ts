import { bedside } from "./en/bedside.ts";
import { card } from "./en/card.ts";
import { consent } from "./en/consent.ts";
import { custody } from "./en/custody.ts";
import { frames } from "./en/frames.ts";
import { measure } from "./en/measure.ts";
import { parts } from "./en/parts.ts";
import { people } from "./en/people.ts";
import { plan } from "./en/plan.ts";
import { practice } from "./en/practice.ts";
import { rehearse } from "./en/rehearse.ts";
import { release } from "./en/release.ts";
import { request } from "./en/request.ts";
import { series } from "./en/series.ts";
import { shell } from "./en/shell.ts";
import { today } from "./en/today.ts";
import { viewer } from "./en/viewer.ts";

/**
 * Everything that the application says of its own, in one language. Another language is another folder beside `en` of
 * the same shape; what the desk answers (verdicts, refusals, cautions) comes in the server's words.
 */
export const words = {
  bedside,
  card,
  consent,
  custody,
  frames,
  measure,
  parts,
  people,
  plan,
  practice,
  rehearse,
  release,
  request,
  series,
  shell,
  today,
  viewer,
};
