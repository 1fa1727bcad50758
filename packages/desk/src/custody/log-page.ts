import type { Actor } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { HistoryLine } from "./history.ts";
import { mustReadLog } from "./read-log.ts";
import { namesOf, type SubjectName, UNNAMED } from "./subject-names.ts";
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
export interface LogLine extends HistoryLine, SubjectName {}

export interface LogPage {
  readonly lines: readonly LogLine[];
  /** Give it as `before` for what comes next; null: that was the first entry. */
  readonly next: number | null;
}

const AT_ONCE = 50;

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
    library.read,
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
      ...(names.get(row.subject) ?? UNNAMED),
    };
  });
  return { lines, next: rows.length === AT_ONCE ? rows.at(-1)!.sequence : null };
}

/** `_` and `%` stand for anything in a pattern; here they are taken out, as no act or person has them. */
const escaped = (text: string): string => text.replaceAll(/[%_]/g, "");
