import { actsSince, type Desk } from "@samescale/desk";

/** The log is looked at this often for what others wrote: another server, a command, long work. */
const EVERY_MS = 1000;

/** Something came about that pages may show. */
export interface Happening {
  /** Number in the custody log; null: not in the log (a finding at the bedside, a job), so not told again. */
  readonly entry: number | null;
  /** `request`, `frame`, `consent` …: the first part of the act's name; or a topic of the server itself. */
  readonly topic: string;
}

export interface Live {
  /** Tells what is not in the log. */
  tell(topic: string): void;
  /** Looks at the log now: somebody has just acted through this server. */
  look(): Promise<void>;
  /** Everything since an entry of the log, then whatever comes, each once. @returns how to stop listening */
  listen(since: number | null, hear: (happening: Happening) => void): Promise<() => void>;
  close(): void;
}

/**
 * What pages are told. The custody log is its source: every act is in it, whoever did it, and each has a number, so
 * a page that was cut off names the last one that it heard and is told the rest; also after the server was started anew.
 * Only kinds are told, no names: what a person may see of it they ask for.
 */
export async function followLog(desk: Desk): Promise<Live> {
  const listeners = new Set<(happening: Happening) => void>();
  let { last } = await actsSince(desk, Number.MAX_SAFE_INTEGER);
  let looking: Promise<void> | null = null;

  async function lookOnce(): Promise<void> {
    const news = await actsSince(desk, last);
    for (const happening of oncePerKind(news, last)) {
      for (const hear of listeners) hear(happening);
    }
    last = Math.max(last, news.last);
  }
  const look = (): Promise<void> => {
    // One at a time: what comes meanwhile is seen by the look after it.
    looking = (looking ?? Promise.resolve()).then(lookOnce).catch(() => {});
    return looking;
  };
  const timer = setInterval(() => listeners.size > 0 && void look(), EVERY_MS);
  timer.unref();

  async function listen(since: number | null, hear: (happening: Happening) => void): Promise<() => void> {
    let heard = Number.POSITIVE_INFINITY;
    let early: Happening[] | null = [];
    const listener = (happening: Happening) => {
      if (early !== null) early.push(happening);
      else if (happening.entry === null || happening.entry > heard) hear(happening);
    };
    // Listening begins before what was missed is read: what comes in between waits, and nothing falls in the gap.
    listeners.add(listener);
    try {
      const missed = await actsSince(desk, since ?? Number.MAX_SAFE_INTEGER);
      // A number that the log has not reached belongs to another log: everything is new.
      if (since === null || since > missed.last) hear({ entry: missed.last, topic: "hello" });
      else for (const happening of oncePerKind(missed, since)) hear(happening);
      heard = missed.last;
    } catch (thrown) {
      listeners.delete(listener);
      throw thrown;
    }
    const waited = early;
    early = null;
    for (const happening of waited) listener(happening);
    return () => listeners.delete(listener);
  }

  return {
    look,
    tell(topic) {
      for (const hear of listeners) hear({ entry: null, topic });
    },
    listen,
    close() {
      clearInterval(timer);
      listeners.clear();
    },
  };
}

/**
 * An intake writes thousands of entries of one kind: a page that heard of the last of them has heard of all. Where more
 * came than is read at once, `everything` is told.
 */
function oncePerKind(
  { acts, last }: Awaited<ReturnType<typeof actsSince>>,
  since: number,
): readonly Happening[] {
  const [first] = acts;
  if (first && first.entry > since + 1) return [{ entry: last, topic: "everything" }];
  const lastOf = new Map<string, number>();
  for (const { entry, kind } of acts) {
    lastOf.delete(kind);
    lastOf.set(kind, entry);
  }
  return [...lastOf].map(([topic, entry]) => ({ entry, topic }));
}
