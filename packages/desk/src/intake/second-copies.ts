import { asSamescaleError, type SamescaleError } from "@samescale/errors";
import type { SecondPlace } from "@samescale/practice";
import type { Desk } from "../desk.ts";
import { copyTo, openSecondStore, type SecondStore } from "./second-copy.ts";

/** The second copies of one call of take-in. A copy that fails never stops the first. */
export interface SecondCopies {
  readonly said: SecondPlace;
  /** What rows call the place; null: none is kept. */
  readonly place: string | null;
  readonly onSameDisk: boolean;
  /** The first thing that went wrong; null: nothing did. */
  readonly fault: SamescaleError | null;
  /** True when the second place holds this original, read back and compared now. */
  make(sha256: string, signal?: AbortSignal): Promise<boolean>;
}

export async function openSecondCopies(desk: Desk, said: SecondPlace): Promise<SecondCopies> {
  const { library } = desk;
  let store: SecondStore | null = null;
  let fault: SamescaleError | null = null;
  if (said.is === "folder") {
    try {
      store = await openSecondStore(library, said.path);
    } catch (thrown) {
      fault = asSamescaleError(thrown, said.path);
    }
  }
  return {
    said,
    place: said.is === "folder" ? said.path : null,
    get onSameDisk() {
      return store?.onSameDisk ?? false;
    },
    get fault() {
      return fault;
    },
    async make(sha256, signal) {
      if (store === null) return false;
      try {
        await copyTo(store, library.originals, sha256, signal);
        return true;
      } catch (thrown) {
        if (signal?.aborted) throw thrown;
        const found = asSamescaleError(thrown, store.place);
        if (found.code === "ORIGINAL_DAMAGED") throw found; // the library's own
        fault ??= found;
        // One damaged copy says nothing of the others; a full or broken disk does.
        if (found.code !== "COPY_DAMAGED") store = null;
        return false;
      }
    },
  };
}
