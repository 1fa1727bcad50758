/** What the order of frames on a card is read from. */
export interface Orderable {
  readonly folder: string;
  readonly name: string;
  /** Camera's local time; null: unknown. */
  readonly taken: string | null;
}

/**
 * The frames of a card by folder and then by the number in their names. Numbers start again behind 9999: where a
 * folder holds both ends, the order begins behind the widest gap, unless the camera's clock says otherwise.
 */
export function byFileNumber<F extends Orderable>(frames: readonly F[]): F[] {
  return folders(frames).flatMap((inFolder) => {
    const sorted = inFolder.toSorted((a, b) => natural(a.name, b.name));
    const split = rollOver(sorted);
    return [...sorted.slice(split), ...sorted.slice(0, split)];
  });
}

/**
 * The same by folder and then by the camera's clock. A frame without a time goes where its number puts it; frames
 * of the same moment as well.
 */
export function byClock<F extends Orderable>(frames: readonly F[]): F[] {
  return folders(byFileNumber(frames)).flatMap((inFolder) => {
    let last = "";
    const timed = inFolder.map((frame) => {
      last = frame.taken ?? last;
      return { frame, time: last };
    });
    return timed.toSorted((a, b) => compare(a.time, b.time)).map(({ frame }) => frame);
  });
}

/** Numbers run to 9999 (DCF); half of that is no gap that deleting frames leaves. */
const WIDE_GAP = 5000;

/** Where the order begins in a folder whose numbers started again; 0: at the first. */
function rollOver(sorted: readonly Orderable[]): number {
  const numbers = sorted.map(({ name }) => counted(name));
  // Names of two kinds were not counted by one camera.
  if (numbers.some((number) => !number || number.prefix !== numbers[0]?.prefix)) return 0;
  let split = 0;
  let widest = WIDE_GAP;
  for (let at = 1; at < numbers.length; at++) {
    const gap = numbers[at]!.number - numbers[at - 1]!.number;
    if (gap > widest) {
      widest = gap;
      split = at;
    }
  }
  const first = sorted[0]?.taken ?? null;
  const high = sorted[split]?.taken ?? null;
  return split > 0 && first !== null && high !== null && first < high ? 0 : split;
}

/** The number a camera counts by stands at the end of the name: `DSC_0042`. */
function counted(name: string): { readonly prefix: string; readonly number: number } | null {
  const parts = /^(.*?)(\d{1,9})$/.exec(name);
  return parts && { prefix: parts[1]!, number: Number(parts[2]) };
}

function folders<F extends Orderable>(frames: readonly F[]): F[][] {
  const byFolder = Map.groupBy(frames, (frame) => frame.folder);
  return [...byFolder].sort(([a], [b]) => natural(a, b)).map(([, inFolder]) => inFolder);
}

/** Digits as numbers, everything else by code point; the same on every machine, whatever its language. */
export function natural(a: string, b: string): number {
  const left = a.match(PIECES) ?? [];
  const right = b.match(PIECES) ?? [];
  for (let at = 0; at < Math.min(left.length, right.length); at++) {
    const [l, r] = [left[at]!, right[at]!];
    const numeric = /^\d/.test(l) && /^\d/.test(r) ? compare(BigInt(l), BigInt(r)) : 0;
    const order = numeric || compare(l, r);
    if (order !== 0) return order;
  }
  return left.length - right.length;
}

const PIECES = /\d+|\D+/g;

const compare = <T extends string | bigint>(a: T, b: T): number => (a < b ? -1 : a > b ? 1 : 0);
