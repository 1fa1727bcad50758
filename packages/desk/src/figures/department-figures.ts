import type { Library } from "@samescale/record";
import { seenRequests } from "../access/seeing.ts";
import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import { type JudgedFigures, judgedFigures } from "./judged-figures.ts";
import { type Spread, spreadOf } from "./spread.ts";

export type { JudgedFigures };

export interface FiguresWanted {
  /** Of requests that were asked for from this day on; YYYY-MM-DD. */
  readonly from: string;
  /** Up to and with this day. */
  readonly to: string;
}

export interface MonthFigure {
  /** YYYY-MM. */
  readonly month: string;
  readonly asked: number;
  readonly visits: number;
  /** Handed over and not taken back. */
  readonly released: number;
}

/** Days from one thing to the next, of the requests in which both are known and follow one another. */
export interface TurnaroundFigure extends Spread {
  readonly of: "asked to made" | "made to released" | "asked to released";
  /** Requests whose days contradict: made before it was asked for, as of pictures that were entered afterwards. */
  readonly leftOut: number;
}

/** Nothing in it names a patient; of small departments small numbers may still tell who is meant. */
export interface DepartmentFigures extends FiguresWanted, JudgedFigures {
  readonly requests: { readonly asked: number; readonly done: number; readonly cancelled: number };
  readonly months: readonly MonthFigure[];
  readonly turnaround: readonly TurnaroundFigure[];
  /** Frames that wait for somebody to say whose they are, now. */
  readonly unplaced: { readonly frames: number; readonly oldestOn: string | null };
}

interface RequestDays {
  readonly id: string;
  readonly state: string;
  readonly asked: string;
  readonly made: string | null;
  readonly released: string | null;
}

/** Figures for whoever answers for the department; null for those who do not handle its pictures. */
export async function departmentFigures(
  { library }: Desk,
  actor: Actor,
  wanted: FiguresWanted,
): Promise<DepartmentFigures | null> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return null;
  const { read, clock } = library;
  const { from, to } = wanted;
  const now = clock().toISOString();
  const requests = await requestsOf(read, actor, now, wanted);
  const visits = await daysOf(read, "visit", from, to);
  const released = await daysOf(read, "release", from, to);
  const counted = (days: readonly string[]) => Map.groupBy(days, (day) => day.slice(0, 7));
  const asked = counted(requests.map((request) => request.asked));
  const [visited, left] = [counted(visits), counted(released)];
  return {
    ...wanted,
    requests: {
      asked: requests.length,
      done: requests.filter(({ state }) => state === "done").length,
      cancelled: requests.filter(({ state }) => state === "cancelled").length,
    },
    months: monthsBetween(from, to).map((month) => ({
      month,
      asked: asked.get(month)?.length ?? 0,
      visits: visited.get(month)?.length ?? 0,
      released: left.get(month)?.length ?? 0,
    })),
    turnaround: [
      turnaround("asked to made", requests, "asked", "made"),
      turnaround("made to released", requests, "made", "released"),
      turnaround("asked to released", requests, "asked", "released"),
    ],
    ...(await judgedFigures(read, actor, now, wanted)),
    unplaced: await unplacedNow(read),
  };
}

/** Requests of the days that the person knows of, with the first day on which each thing came about. */
async function requestsOf(
  read: Library["read"],
  actor: Actor,
  now: string,
  { from, to }: FiguresWanted,
): Promise<RequestDays[]> {
  const rows = await read
    .selectFrom("request")
    .select(["request.id", "request.state", "request.made_at as asked"])
    .select((of) => [
      of
        .selectFrom("visit")
        .select((first) => first.fn.min("visit.date").as("day"))
        .whereRef("visit.request_id", "=", "request.id")
        .where("visit.void_because", "is", null)
        .as("made"),
      of
        .selectFrom("release")
        .select((first) => first.fn.min("release.handed_over_at").as("day"))
        .whereRef("release.request_id", "=", "request.id")
        .where("release.taken_back_at", "is", null)
        .as("released"),
    ])
    .where("request.made_at", ">=", from)
    .where("request.made_at", "<", dayAfter(to))
    .where((is) => seenRequests(actor, now)(is))
    .execute();
  return rows.map(({ id, state, asked, made, released }) => ({
    ...{ id, state, asked: asked.slice(0, 10), made },
    released: released?.slice(0, 10) ?? null,
  }));
}

async function daysOf(
  read: Library["read"],
  what: "visit" | "release",
  from: string,
  to: string,
): Promise<string[]> {
  if (what === "visit") {
    const rows = await read
      .selectFrom("visit")
      .select("date as day")
      .where("date", ">=", from)
      .where("date", "<=", to)
      .where("void_because", "is", null)
      .execute();
    return rows.map(({ day }) => day ?? "");
  }
  const rows = await read
    .selectFrom("release")
    .select("handed_over_at as day")
    .where("handed_over_at", ">=", from)
    .where("handed_over_at", "<", dayAfter(to))
    .where("taken_back_at", "is", null)
    .execute();
  return rows.map(({ day }) => day ?? "");
}

function turnaround(
  of: TurnaroundFigure["of"],
  requests: readonly RequestDays[],
  first: "asked" | "made",
  then: "made" | "released",
): TurnaroundFigure {
  const days = requests
    .filter((request) => request[first] !== null && request[then] !== null)
    .map((request) => daysBetween(request[first]!, request[then]!));
  const counted = days.filter((one) => one >= 0);
  return { of, ...spreadOf(counted), leftOut: days.length - counted.length };
}

async function unplacedNow(read: Library["read"]): Promise<DepartmentFigures["unplaced"]> {
  const { n, oldest } = await read
    .selectFrom("frame")
    .innerJoin("intake", "intake.id", "frame.intake_id")
    .select((of) => [of.fn.countAll<number>().as("n"), of.fn.min("intake.begun_at").as("oldest")])
    .where("frame.request_id", "is", null)
    .where("frame.trashed_at", "is", null)
    .executeTakeFirstOrThrow();
  return { frames: Number(n), oldestOn: oldest?.slice(0, 10) ?? null };
}

const DAY_MS = 86_400_000;
const daysBetween = (first: string, then: string): number =>
  Math.round((Date.parse(`${then}T00:00:00Z`) - Date.parse(`${first}T00:00:00Z`)) / DAY_MS);

const dayAfter = (day: string): string =>
  new Date(Date.parse(`${day}T00:00:00Z`) + DAY_MS).toISOString().slice(0, 10);

/** More than a lifetime of a department: a slip in a year would make a page without end. */
const MOST_MONTHS = 600;

function monthsBetween(from: string, to: string): string[] {
  const months: string[] = [];
  let [year, month] = from.split("-").map(Number) as [number, number];
  for (; months.length < MOST_MONTHS; month++) {
    if (month > 12) [year, month] = [year + 1, 1];
    const name = `${year}-${String(month).padStart(2, "0")}`;
    if (name > to.slice(0, 7)) break;
    months.push(name);
  }
  return months;
}
