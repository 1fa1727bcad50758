/** Wrong passwords that cost nothing: people mistype. */
const FREE = 5;
/** The longest wait, in seconds: a nurse at an emergency waits a minute, a program gets 1,440 guesses a day. */
const LONGEST_S = 60;
/** Forgotten after this time without another one, in seconds. */
const FORGOTTEN_S = 900;
/** Bounds memory, whoever asks for whatever names. */
const MOST_KEPT = 10_000;

interface Failures {
  count: number;
  atS: number;
}

/** How often signing in failed, by what was tried and from where. */
export interface Brake {
  /** Seconds to wait before the next try; 0: now. */
  waitS(key: string): number;
  /** Counts a try as failed, before it is known: many at once are as slow as one after the other. @returns the count */
  failed(key: string): number;
  /** The try was right. @returns how many were wrong before it */
  forget(key: string): number;
}

/**
 * Makes guessing slow without locking anybody out: after five wrong tries each further one has to wait, twice as long as
 * the one before and never more than a minute. The key holds the place as well as the name, so that who guesses from one
 * place keeps nobody from signing in at another. Kept in memory and timed by a clock that only runs forward.
 * @param secondsNow seconds of a monotonic clock
 */
export function newBrake(secondsNow: () => number): Brake {
  const kept = new Map<string, Failures>();
  const of = (key: string): Failures | null => {
    const found = kept.get(key);
    if (found === undefined || secondsNow() - found.atS < FORGOTTEN_S) return found ?? null;
    kept.delete(key);
    return null;
  };
  return {
    waitS(key) {
      const { count, atS } = of(key) ?? { count: 0, atS: 0 };
      if (count < FREE) return 0;
      return Math.max(0, Math.ceil(atS + Math.min(2 ** (count - FREE), LONGEST_S) - secondsNow()));
    },
    failed(key) {
      const count = (of(key)?.count ?? 0) + 1;
      kept.delete(key); // to the end: the one that was longest at rest goes first
      kept.set(key, { count, atS: secondsNow() });
      const [oldest] = kept.keys();
      if (kept.size > MOST_KEPT && oldest !== undefined) kept.delete(oldest);
      return count;
    },
    forget(key) {
      const count = (of(key)?.count ?? 1) - 1;
      kept.delete(key);
      return count;
    },
  };
}

/** At 5, 10, 20, 40 …: the log hears of it, and nobody can flood it by guessing. */
export function isWorthTelling(count: number): boolean {
  const doublings = Math.log2(count / FREE);
  return doublings >= 0 && Number.isInteger(doublings);
}
