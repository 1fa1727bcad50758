import type { CardEntry } from "./walk-card.ts";

export interface TakeInProgress {
  readonly card: string;
  readonly step: "copying" | "looking";
  readonly files: number;
  readonly ofFiles: number;
  readonly bytes: number;
  readonly ofBytes: number;
}

/** Counts what one card has come to, and tells it. */
export function progressOf(
  card: string,
  entries: readonly CardEntry[],
  tell: (progress: TakeInProgress) => void = () => {},
) {
  const ofFiles = entries.length;
  const ofBytes = entries.reduce((sum, entry) => sum + entry.bytes, 0);
  let bytes = 0;
  let copied = 0;
  let looked = 0;
  const copying = () => tell({ card, step: "copying", files: copied, ofFiles, bytes, ofBytes });
  return {
    bytes(more: number) {
      bytes += more;
      copying();
    },
    file() {
      copied++;
      copying();
    },
    looked() {
      looked++;
      tell({ card, step: "looking", files: looked, ofFiles, bytes, ofBytes });
    },
  };
}
