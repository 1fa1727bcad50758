import type { ActContext } from "../act/define-act.ts";

type Tables = ActContext["tables"];

/** A picture of a frame that left the department before the frame was moved. */
export interface ReleasedBefore {
  readonly frameId: string;
  readonly releaseId: string;
  readonly recipient: string;
  /** YYYY-MM-DD. */
  readonly day: string;
  /** Name of the file that left. */
  readonly name: string;
}

/** What was made of a frame for a request that it does not belong to any more. */
export interface Stale {
  readonly kind: "measurement" | "verdict" | "series";
  readonly id: string;
  readonly frameId: string;
  /** The request it was made for. */
  readonly requestId: string;
}

/** What follows from moving frames, for the person who moves them: nothing of it is undone by the move. */
export interface Consequences {
  readonly released: readonly ReleasedBefore[];
  readonly stale: readonly Stale[];
}

/** @param moved frames that leave a request, with that request */
export async function consequencesOf(
  tables: Tables,
  moved: readonly { readonly frameId: string; readonly requestId: string }[],
): Promise<Consequences> {
  const released: ReleasedBefore[] = [];
  const stale: Stale[] = [];
  for (const { frameId, requestId } of moved) {
    released.push(...(await releasedFrom(tables, frameId)));
    stale.push(...(await staleFrom(tables, frameId, requestId)));
  }
  return { released, stale };
}

async function releasedFrom(tables: Tables, frameId: string): Promise<ReleasedBefore[]> {
  const rows = await tables
    .selectFrom("release_item")
    .innerJoin("release", "release.id", "release_item.release_id")
    .select(["release.id", "release.recipient", "release.made_at", "release_item.name"])
    .where("release_item.frame_id", "=", frameId)
    .orderBy("release.made_at")
    .orderBy("release_item.name")
    .execute();
  return rows.map(({ id, recipient, made_at, name }) => {
    return { frameId, releaseId: id, recipient, day: made_at.slice(0, 10), name };
  });
}

/** Measurements and verdicts of the frame, and series of the old request that rest on it. */
async function staleFrom(tables: Tables, frameId: string, requestId: string): Promise<Stale[]> {
  const stale: Stale[] = [];
  const made = new Set<string>();
  const files = await tables.selectFrom("file").select("sha256").where("frame_id", "=", frameId).execute();
  for (const { sha256 } of files) made.add(sha256);
  for (const kind of ["reading", "outline", "measurement", "verdict"] as const) {
    const rows = await tables
      .selectFrom(kind)
      .select(["id", "sha256"])
      .where("frame_id", "=", frameId)
      .orderBy("id")
      .execute();
    for (const { id, sha256 } of rows) {
      made.add(sha256);
      if (kind === "measurement" || kind === "verdict") stale.push({ kind, id, frameId, requestId });
    }
  }
  const series = await tables
    .selectFrom("series")
    .select(["id", "inputs"])
    .where("request_id", "=", requestId)
    .orderBy("id")
    .execute();
  for (const { id, inputs } of series) {
    const restsOnIt = (JSON.parse(inputs) as string[]).some((input) => made.has(input));
    if (restsOnIt) stale.push({ kind: "series", id, frameId, requestId });
  }
  return stale;
}
