import type { Library } from "@samescale/record";
import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";

/** How many frames were to be made again, and what was found on them. */
export interface CauseFigure {
  /** As a finding names it; "not said": a person decided, or nothing was named. */
  readonly cause: string;
  readonly frames: number;
}

export interface ViewSetFigure {
  readonly key: string;
  readonly name: string;
  readonly requests: number;
  readonly judged: number;
  readonly repeats: number;
}

export interface JudgedFigures {
  /** Frames with a verdict, by the newest of each. */
  readonly judged: { readonly frames: number; readonly repeats: number };
  /** Of the repeats; a frame counts under everything that was found on it. */
  readonly causes: readonly CauseFigure[];
  readonly viewSets: readonly ViewSetFigure[];
}

interface Verdicts {
  readonly request_id: string | null;
  readonly body: string;
}

/** Verdicts of the frames of requests that were asked for in these days. */
export async function judgedFigures(
  read: Library["read"],
  actor: Actor,
  now: string,
  { from, to }: { readonly from: string; readonly to: string },
): Promise<JudgedFigures> {
  const until = new Date(Date.parse(`${to}T00:00:00Z`) + 86_400_000).toISOString().slice(0, 10);
  const rows: readonly Verdicts[] = await read
    .selectFrom("verdict")
    .innerJoin("frame", "frame.id", "verdict.frame_id")
    .innerJoin("request", "request.id", "frame.request_id")
    .select(["frame.request_id", "verdict.body"])
    .where("request.made_at", ">=", from)
    .where("request.made_at", "<", until)
    .where("frame.trashed_at", "is", null)
    .where((is) =>
      is.not(
        is.exists(
          is
            .selectFrom("verdict as later")
            .select("later.id")
            .whereRef("later.frame_id", "=", "verdict.frame_id")
            .whereRef("later.id", ">", "verdict.id"),
        ),
      ),
    )
    .where((is) => seenRequests(actor, now)(is as never))
    .execute();
  const said = rows
    .map(({ request_id, body }) => ({ request: request_id ?? "", ...(JSON.parse(body) as Said) }))
    .filter(({ verdict }) => verdict !== "not-judged");
  const repeats = said.filter(({ verdict }) => verdict === "repeat");
  const setOf = await viewSetsOf(read, actor, now, from, until);
  return {
    judged: { frames: said.length, repeats: repeats.length },
    causes: causesOf(repeats),
    viewSets: [...Map.groupBy(setOf, ([, { key }]) => key)]
      .map(([key, requests]) => {
        const ids = new Set(requests.map(([id]) => id));
        const within = said.filter(({ request }) => ids.has(request));
        return {
          key,
          name: requests.at(-1)![1].name,
          requests: ids.size,
          judged: within.length,
          repeats: within.filter(({ verdict }) => verdict === "repeat").length,
        };
      })
      .toSorted((a, b) => b.requests - a.requests || (a.key < b.key ? -1 : 1)),
  };
}

interface Said {
  readonly verdict: string;
  readonly findings?: readonly { readonly what: string }[];
}

function causesOf(repeats: readonly Said[]): CauseFigure[] {
  const named = repeats.flatMap(({ findings = [] }) => {
    const causes = new Set(findings.map(({ what }) => what));
    return causes.size === 0 ? ["not said"] : [...causes];
  });
  return [...Map.groupBy(named, (cause) => cause)]
    .map(([cause, frames]) => ({ cause, frames: frames.length }))
    .toSorted((a, b) => b.frames - a.frames || (a.cause < b.cause ? -1 : 1));
}

/** The view set of each request's newest plan. */
async function viewSetsOf(
  read: Library["read"],
  actor: Actor,
  now: string,
  from: string,
  until: string,
): Promise<[string, { readonly key: string; readonly name: string }][]> {
  const rows = await read
    .selectFrom("plan")
    .innerJoin("request", "request.id", "plan.request_id")
    .select(["plan.request_id", "plan.body"])
    .where("request.made_at", ">=", from)
    .where("request.made_at", "<", until)
    .where((is) => seenRequests(actor, now)(is as never))
    .orderBy("plan.revision")
    .execute();
  const newest = new Map<string, { readonly key: string; readonly name: string }>();
  for (const { request_id, body } of rows) {
    const { viewSet } = JSON.parse(body) as { viewSet?: { key?: string; name?: string } };
    if (typeof viewSet?.key === "string" && typeof viewSet.name === "string")
      newest.set(request_id, { key: viewSet.key, name: viewSet.name });
  }
  return [...newest];
}
