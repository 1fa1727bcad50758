import { formatRatio } from "@samescale/optics";
import { type Practice, REQUEST_CAUTION_WORDS } from "@samescale/practice";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import { consentTasks } from "../consent/tasks.ts";
import type { Desk } from "../desk.ts";
import { bagOfDay } from "../plan/bag-of-day.ts";
import type { ListedRequest } from "../requests/list-requests.ts";
import { consentMissing, kitMissing, type Missing, planMissing, tasksOf } from "./missing.ts";
import { type OpenRequest, openRequests } from "./open-requests.ts";
import { type WhenDue, whenDue } from "./when-due.ts";

/** What is best done next for a request. */
export type NextStep = "plan" | "consent" | "bedside" | "card" | "frames" | "look";

/** A request as the day's list shows it. */
export interface DayRequest extends ListedRequest, WhenDue {
  /** Appointments of that day, local, HH:MM, earliest first. */
  readonly times: readonly string[];
  readonly dressingsDownAt: string | null;
  /** Ward, clinic. */
  readonly place: string | null;
  readonly requester: string | null;
  /** As the requester says them, in words. */
  readonly cautions: readonly string[];
  readonly interpreter: string | null;
  readonly views: readonly { readonly name: string; readonly ratio: string }[];
  readonly minutes: number | null;
  readonly photographedOn: string | null;
  readonly passedOn: string | null;
  readonly missing: readonly Missing[];
  readonly next: NextStep;
}

/** Consent of so many requests is looked up at most; what lies further ahead is looked at when its day comes. */
const MOST_LOOKED_INTO = 120;

/**
 * The open requests in the order of the day: overdue, today by time, coming, without a day, made. What is missing for
 * each is for those who do the work; whoever asked sees how far it is.
 * @param day YYYY-MM-DD
 * @param dueOf days on which things of the register are due, by id
 */
export async function dayAtDesk(
  desk: Desk,
  actor: Actor,
  practice: Practice,
  day: string,
  dueOf: ReadonlyMap<string, string>,
): Promise<readonly DayRequest[]> {
  const works = PHOTOGRAPHERS.includes(actor.role);
  const due = (await openRequests(desk, actor)).map((open) => ({ open, due: whenOf(open, day) })).sort(byDay);
  if (!works) return due.map(({ open, due: when }) => dayRequest(open, when, [], "look"));
  const { bag } = await bagOfDay(desk, actor, practice, day, dueOf);
  const told = await consentTasks(desk, actor, day, practice.consent);
  const tasks = told.done ? told.value : [];
  const rows: DayRequest[] = [];
  for (const [i, { open, due: when }] of due.entries()) {
    const isAhead = when.when !== "made" && i < MOST_LOOKED_INTO;
    const missing = [
      ...(when.when === "made" ? [] : planMissing(open.plan)),
      ...(isAhead ? await consentMissing(desk, open, practice.consent, day) : []),
      ...tasksOf(open, tasks),
      ...(when.when === "today" ? kitMissing(open, bag) : []),
    ];
    rows.push(dayRequest(open, when, missing, nextStep(open, when, missing)));
  }
  return rows;
}

function whenOf({ request, details, visitDays, photographedOn }: OpenRequest, day: string): WhenDue {
  const booked = details.bookedAt.map((time) => time.slice(0, 10));
  const days = [...booked, ...visitDays, ...(request.dueDate === null ? [] : [request.dueDate])];
  return whenDue(days, photographedOn, day);
}

function nextStep(
  { photographedOn }: OpenRequest,
  { when, day }: WhenDue,
  missing: readonly Missing[],
): NextStep {
  const lacks = (...what: readonly Missing["what"][]) => missing.some((one) => what.includes(one.what));
  if (when === "made" || photographedOn === day) return lacks("capacity", "majority") ? "consent" : "frames";
  if (lacks("refused")) return "consent";
  if (lacks("plan")) return "plan";
  if (lacks("consent", "portrayed", "capacity", "majority")) return "consent";
  return when === "today" || when === "overdue" ? "bedside" : "card";
}

function dayRequest(
  { request, details, plan, photographedOn, passedOn }: OpenRequest,
  when: WhenDue,
  missing: readonly Missing[],
  next: NextStep,
): DayRequest {
  const place = [details.place, details.site].filter((part) => part !== undefined).join(", ");
  return {
    ...request,
    ...when,
    times: timesOn(details.bookedAt, when.day),
    dressingsDownAt: timesOn([details.dressingsDownAt ?? ""], when.day)[0] ?? null,
    place: place === "" ? null : place,
    requester: details.requester?.name ?? null,
    cautions: details.cautions.map(
      ({ kind, note }) => `${REQUEST_CAUTION_WORDS[kind]}${note === undefined ? "" : `: ${note}`}`,
    ),
    interpreter: details.interpreter ?? null,
    views:
      plan?.views.map(({ view, magnification }) => ({
        name: view.name,
        ratio: formatRatio(magnification),
      })) ?? [],
    minutes: plan === null ? null : Math.ceil(plan.minutes),
    photographedOn,
    passedOn,
    missing,
    next,
  };
}

const timesOn = (times: readonly string[], day: string | null): string[] =>
  times.flatMap((time) => (day !== null && time.startsWith(day) ? [time.slice(11, 16)] : [])).sort();

const ORDER: readonly WhenDue["when"][] = ["overdue", "today", "coming", "undated", "made"];
const URGENCY = ["stat", "asap", "urgent", "routine"];

interface Due {
  readonly open: OpenRequest;
  readonly due: WhenDue;
}

function byDay(one: Due, other: Due): number {
  const place = ({ open, due }: Due): readonly string[] => [
    String(ORDER.indexOf(due.when)),
    due.day ?? "",
    timesOn(open.details.bookedAt, due.day)[0] ?? "99:99",
    String(URGENCY.indexOf(open.request.priority ?? "routine")),
    open.request.code,
  ];
  return place(one).join(" ").localeCompare(place(other).join(" "));
}
