import {
  bagOfDay,
  type ConsentTask,
  calibrationsOf,
  consentTasks,
  type DayRequest,
  dayAtDesk,
  dueOfScales,
  PHOTOGRAPHERS,
  ROLES,
  recallsOf,
  waitingFrames,
} from "@samescale/desk";
import type { BagList, Practice } from "@samescale/practice";
import { z } from "zod";
import type { Area } from "../deps.ts";
import { who } from "../identity/who.ts";

/** The day as it looks from the desk. */
export interface TodayAnswer {
  /** YYYY-MM-DD, and the time of day, HH:MM, where the server is. */
  readonly day: string;
  readonly time: string;
  readonly requests: readonly DayRequest[];
  /** Null: not for this role. */
  readonly desk: {
    /** Frames of cards that nobody has placed. */
    readonly waiting: number;
    /** Recipients who have to answer. */
    readonly recalls: number;
    readonly tasks: readonly ConsentTask[];
  } | null;
}

export interface BagAnswer {
  readonly bag: BagList;
  readonly withoutPlan: readonly string[];
}

/** The day: requests, what is due, what is not placed, recalls. */
export const todayRoutes: Area = (app, { desk, practice, practiceFolder }) => {
  const dueOf = async (now: Practice) => dueOfScales(now, await calibrationsOf(await practiceFolder()));

  app.get("/today", { config: { may: ROLES } }, async (request): Promise<TodayAnswer> => {
    const actor = who(request);
    const { day, time } = localNow(desk.library.clock());
    const now = await practice();
    const requests = await dayAtDesk(desk, actor, now, day, await dueOf(now));
    if (!PHOTOGRAPHERS.includes(actor.role)) return { day, time, requests, desk: null };
    const recalls = await recallsOf(desk, actor, "open");
    const tasks = await consentTasks(desk, actor, day, now.consent);
    return {
      day,
      time,
      requests,
      desk: {
        waiting: (await waitingFrames(desk, actor)).length,
        recalls: recalls.done ? recalls.value.length : 0,
        tasks: tasks.done ? tasks.value : [],
      },
    };
  });

  const query = z.object({ day: z.iso.date() });
  app.get(
    "/today/bag",
    { config: { may: PHOTOGRAPHERS }, schema: { querystring: query } },
    async (request): Promise<BagAnswer> => {
      const now = await practice();
      return bagOfDay(desk, who(request), now, request.query.day, await dueOf(now));
    },
  );
};

/** Appointments are local times: the day is the one where the server stands. */
function localNow(now: Date): { readonly day: string; readonly time: string } {
  const local = new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString();
  return { day: local.slice(0, 10), time: local.slice(11, 16) };
}
