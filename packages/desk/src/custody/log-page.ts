import { seenRequests } from "../access/seeing.ts";
import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { HistoryLine } from "./history.ts";
import { mustReadLog } from "./read-log.ts";
import { inWords } from "./words.ts";

/** Which entries are meant; left out: all. */
export interface LogWanted {
  /** YYYY-MM-DD, by the log's own clock (UTC). */
  readonly day?: string | undefined;
  /** First part of an act's name: `consent`, `release` …; or the whole name. */
  readonly act?: string | undefined;
  /** Part of a name, as the log has it. */
  readonly person?: string | undefined;
  /** Entries in front of this one. */
  readonly before?: number | undefined;
}

/** One entry, with what it is about as people call it. */
export interface LogLine extends HistoryLine {
  /** Code of the request, name of the frame or card; null: nothing shorter than the subject itself. */
  readonly called: string | null;
  /** Code of the request that it leads to; null: none. */
  readonly requestCode: string | null;
}

export interface LogPage {
  readonly lines: readonly LogLine[];
  /** Give it as `before` for what comes next; null: that was the first entry. */
  readonly next: number | null;
}

const AT_ONCE = 100;

/** The custody log, the newest entry first. @throws SamescaleError ACT_REFUSED */
export async function logPage({ library }: Desk, actor: Actor, wanted: LogWanted): Promise<LogPage> {
  mustReadLog(actor);
  const { day, act, person, before } = wanted;
  const rows = await library.read
    .selectFrom("act")
    .select(["sequence", "time", "actor", "act", "subject", "details"])
    .$if(day !== undefined, (of) => of.where("time", ">=", day!).where("time", "<", `${day}T99`))
    .$if(act !== undefined, (of) =>
      of.where((is) => is.or([is("act", "=", act!), is("act", "like", `${escaped(act!)}.%`)])),
    )
    .$if(person !== undefined, (of) => of.where("actor", "like", `%${escaped(person!)}%`))
    .$if(before !== undefined, (of) => of.where("sequence", "<", before!))
    .orderBy("sequence", "desc")
    .limit(AT_ONCE)
    .execute();
  const names = await namesOf(
    { library } as Desk,
    actor,
    rows.map(({ subject }) => subject),
  );
  const lines = rows.map((row): LogLine => {
    const { because } = JSON.parse(row.details) as { because?: unknown };
    return {
      entry: row.sequence,
      time: row.time,
      actor: row.actor,
      act: row.act,
      subject: row.subject,
      says: inWords(row.act),
      because: typeof because === "string" ? because : null,
      ...(names.get(row.subject) ?? { called: null, requestCode: null }),
    };
  });
  return { lines, next: rows.length === AT_ONCE ? rows.at(-1)!.sequence : null };
}

/** `_` and `%` stand for anything in a pattern; here they are taken out, as no act or person has them. */
const escaped = (text: string): string => text.replaceAll(/[%_]/g, "");

type Names = Map<string, Pick<LogLine, "called" | "requestCode">>;

/** What frames and requests are called, for those who know of them. */
async function namesOf({ library }: Desk, actor: Actor, subjects: readonly string[]): Promise<Names> {
  const idsOf = (table: string) => [
    "",
    ...subjects.filter((one) => one.startsWith(`${table}/`)).map((one) => one.slice(table.length + 1)),
  ];
  const names: Names = new Map();
  const requests = await library.read
    .selectFrom("request")
    .select(["id", "code"])
    .where("id", "in", idsOf("request"))
    .where(seenRequests(actor, library.clock().toISOString()))
    .execute();
  for (const { id, code } of requests) names.set(`request/${id}`, { called: code, requestCode: code });
  const frames = await library.read
    .selectFrom("frame")
    .leftJoin("request", "request.id", "frame.request_id")
    .select(["frame.id", "frame.name", "request.code"])
    .where("frame.id", "in", idsOf("frame"))
    .execute();
  for (const { id, name, code } of frames) names.set(`frame/${id}`, { called: name, requestCode: code });
  const cards = await library.read
    .selectFrom("intake")
    .select(["id", "card_path"])
    .where("id", "in", idsOf("intake"))
    .execute();
  for (const { id, card_path } of cards) {
    names.set(`intake/${id}`, { called: card_path.split("/").at(-1) ?? card_path, requestCode: null });
  }
  return names;
}
