import { seenRequests } from "../access/seeing.ts";
import { type Actor, nameInLog } from "../act/actor.ts";
import type { Desk } from "../desk.ts";
import type { SaidVerdict } from "./session.ts";

/** A session that was begun and not ended. */
export interface BedsideOnRecord {
  readonly requestId: string;
  readonly code: string;
  readonly folder: string;
  /** ISO 8601 in UTC. */
  readonly beganAt: string;
  readonly by: string;
}

/** Older ones were forgotten, not gone on with. */
const LASTS_MS = 24 * 3_600_000;

/** The sessions at bedsides that still run, the newest first; of requests that somebody knows of. */
export async function runningBedsides({ library }: Desk, actor: Actor): Promise<readonly BedsideOnRecord[]> {
  const now = library.clock();
  const acts = await library.read
    .selectFrom("act")
    .select(["act", "subject", "details", "time", "actor"])
    .where("act", "in", ["bedside.begin", "bedside.end"])
    .where("time", ">", new Date(now.getTime() - LASTS_MS).toISOString())
    .orderBy("sequence")
    .execute();
  const newest = new Map(acts.map((act) => [act.subject, act]));
  const running = [...newest.values()].filter(({ act }) => act === "bedside.begin");
  if (running.length === 0) return [];
  const requests = await library.read
    .selectFrom("request")
    .select(["id", "code"])
    .where(
      "id",
      "in",
      running.map(({ subject }) => idOf(subject)),
    )
    .where(seenRequests(actor, now.toISOString()))
    .execute();
  return running
    .toSorted((a, b) => (a.time < b.time ? 1 : -1))
    .flatMap(({ subject, details, time, actor: by }) => {
      const request = requests.find(({ id }) => id === idOf(subject));
      const { folder } = JSON.parse(details) as { folder: string };
      return request
        ? [{ requestId: request.id, code: request.code, folder, beganAt: time, by: nameInLog(by) }]
        : [];
    });
}

/** A person's word on a frame. */
export interface WordOnRecord {
  readonly said: SaidVerdict;
  readonly by: string;
  readonly at: string;
}

/** What people said of a request's frames against the judgement, by the mark of the frame; the last word counts. */
export async function wordsAtBedside(
  { library }: Desk,
  requestId: string,
): Promise<ReadonlyMap<string, WordOnRecord>> {
  const acts = await library.read
    .selectFrom("act")
    .select(["details", "time", "actor"])
    .where("act", "=", "bedside.say")
    .where("subject", "=", `request/${requestId}`)
    .orderBy("sequence")
    .execute();
  const words = new Map<string, WordOnRecord>();
  for (const { details, time, actor } of acts) {
    const { frame, said } = JSON.parse(details) as { frame: string; said: SaidVerdict | null };
    if (said === null) words.delete(frame);
    else words.set(frame, { said, by: nameInLog(actor), at: time });
  }
  return words;
}

const idOf = (subject: string): string => subject.slice("request/".length);
