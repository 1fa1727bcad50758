import type { Area } from "../deps.ts";
import { bedsideRoutes } from "./bedside.ts";
import { cardRoutes } from "./card.ts";
import { custodyRoutes } from "./custody.ts";
import { firstRunRoutes } from "./first-run.ts";
import { framesRoutes } from "./frames.ts";
import { measureRoutes } from "./measure.ts";
import { peopleRoutes } from "./people.ts";
import { picturesRoutes } from "./pictures.ts";
import { practiceRoutes } from "./practice.ts";
import { rehearseRoutes } from "./rehearse.ts";
import { releaseRoutes } from "./release.ts";
import { requestsRoutes } from "./requests.ts";
import { seriesRoutes } from "./series.ts";
import { todayRoutes } from "./today.ts";

/** Every area of the application, in the order of the day. */
export const areas: readonly Area[] = [
  peopleRoutes,
  picturesRoutes,
  todayRoutes,
  requestsRoutes,
  bedsideRoutes,
  cardRoutes,
  framesRoutes,
  measureRoutes,
  seriesRoutes,
  releaseRoutes,
  custodyRoutes,
  practiceRoutes,
  firstRunRoutes,
  rehearseRoutes,
];
