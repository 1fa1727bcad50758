/** What part of a picture is seen, in units that several pictures share: from the picture's middle, and how wide. */
export interface SeenPart {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** One view for several pictures: where one is moved, the others follow. */
export interface SharedView {
  /** The one that the person moves; the others only follow. */
  leader: object | null;
  readonly seen: SeenPart | null;
  show(part: SeenPart, by: object): void;
  /** @returns how to stop */
  follow(as: object, show: (part: SeenPart) => void): () => void;
}

/** For two to four viewers in lock-step: make one, hand it to each of them. */
export function createSharedView(): SharedView {
  const followers = new Map<object, (part: SeenPart) => void>();
  let seen: SeenPart | null = null;
  return {
    leader: null,
    get seen() {
      return seen;
    },
    show(part, by) {
      seen = part;
      for (const [who, show] of followers) if (who !== by) show(part);
    },
    follow(as, show) {
      followers.set(as, show);
      return () => followers.delete(as);
    },
  };
}
