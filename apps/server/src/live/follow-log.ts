import { actsSince, type Desk } from "@samescale/desk";

/** The log is looked at this often for what others wrote: another server, a command. */
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
  /** Everything since an entry of the log, then whatever comes. @returns how to stop listening */
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
    last = news.last;
    for (const { entry, kind } of news.acts) {
      for (const hear of listeners) hear({ entry, topic: kind });
    }
  }
  const look = (): Promise<void> => {
    // One at a time: what comes meanwhile is seen by the look after it.
    looking = (looking ?? Promise.resolve()).then(lookOnce).catch(() => {});
    return looking;
  };
  const timer = setInterval(() => listeners.size > 0 && void look(), EVERY_MS);
  timer.unref();

  return {
    look,
    tell(topic) {
      for (const hear of listeners) hear({ entry: null, topic });
    },
    async listen(since, hear) {
      await look();
      if (since === null) hear({ entry: last, topic: "hello" });
      else {
        const missed = await actsSince(desk, since);
        for (const { entry, kind } of missed.acts) hear({ entry, topic: kind });
      }
      listeners.add(hear);
      return () => listeners.delete(hear);
    },
    close() {
      clearInterval(timer);
      listeners.clear();
    },
  };
}
