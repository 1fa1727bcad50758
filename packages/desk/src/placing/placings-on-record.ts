import { type Actor, PHOTOGRAPHERS } from "../act/actor.ts";
import type { Desk } from "../desk.ts";

/** A placing by hand, as the log tells of it. */
export interface PlacingOnRecord {
  /** Number of the log's entry. */
  readonly entry: number;
  readonly time: string;
  readonly actor: string;
  readonly because: string;
  readonly frames: readonly string[];
  /** Code of the request; null: back to those that wait. */
  readonly to: string | null;
  readonly isUndone: boolean;
}

/** The last placings by hand, the newest first: each can be taken back while nothing was changed since. */
export async function placingsOnRecord(
  { library }: Desk,
  actor: Actor,
  most: number,
): Promise<PlacingOnRecord[]> {
  if (!PHOTOGRAPHERS.includes(actor.role)) return [];
  const entries = await library.read
    .selectFrom("act")
    .select(["sequence", "time", "actor", "act", "details"])
    .where("act", "in", ["frame.place", "frame.undo"])
    .orderBy("sequence", "desc")
    .limit(2 * most)
    .execute();
  const undone = new Set<number>();
  const placings: (Omit<PlacingOnRecord, "to"> & { readonly request: string | null })[] = [];
  for (const { sequence, time, actor: by, act, details } of entries) {
    const said = JSON.parse(details) as Partial<Details>;
    if (act === "frame.undo") undone.add(said.undoes ?? 0);
    else {
      const { because = "", request = null, before = {} } = said;
      const frames = Object.keys(before);
      const isUndone = undone.has(sequence);
      placings.push({ entry: sequence, time, actor: by, because, frames, isUndone, request });
    }
  }
  const codes = await library.read
    .selectFrom("request")
    .select(["id", "code"])
    .where("id", "in", ["", ...placings.flatMap(({ request }) => request ?? [])])
    .execute();
  const codeOf = new Map(codes.map(({ id, code }) => [id, code]));
  return placings.slice(0, most).map(({ request, ...rest }) => ({
    ...rest,
    to: request === null ? null : (codeOf.get(request) ?? null),
  }));
}

interface Details {
  readonly because: string;
  readonly request: string | null;
  readonly before: object;
  readonly undoes: number;
}
