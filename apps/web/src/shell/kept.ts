/** Small things that a browser keeps for whoever works at it; nothing of a patient. */
export interface Kept {
  /** null: nothing is kept under this name. */
  read(name: string): string | null;
  /** Never fails: what the browser does not take (full, forbidden) is kept until the page is closed. @param value null: forget it */
  write(name: string, value: string | null): void;
  names(): string[];
}

/** @param storageOf asked each time, as a browser that forbids storage throws already there */
function keeping(storageOf: () => Storage): Kept {
  const untilClosed = new Map<string, string | null>();
  const tried = <T>(act: (storage: Storage) => T, otherwise: T): T => {
    try {
      return act(storageOf());
    } catch {
      return otherwise;
    }
  };
  return {
    read(name) {
      const here = untilClosed.get(name);
      return here === undefined ? tried((storage) => storage.getItem(name), null) : here;
    },
    write(name, value) {
      const isTaken = tried((storage) => {
        if (value === null) storage.removeItem(name);
        else storage.setItem(name, value);
        return true;
      }, false);
      if (isTaken) untilClosed.delete(name);
      else untilClosed.set(name, value);
    },
    names: () => [...new Set([...untilClosed.keys(), ...tried(Object.keys, [])])],
  };
}

/** From one day to the next, in every window of this browser. */
export const keptHere: Kept = keeping(() => localStorage);

/** As long as this window is open, also when its page is opened anew. */
export const keptInWindow: Kept = keeping(() => sessionStorage);
