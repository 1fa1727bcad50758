import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import type { Actor } from "../act/actor.ts";
import { type ComparedMember, compareSeries } from "../compare/compare-series.ts";
import type { Desk } from "../desk.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import { requestByCode } from "../look/request-by-code.ts";
import { departmentRepeats } from "../repeats/kept-outlines.ts";
import { keptSeries, type MatchedPoints } from "./kept-series.ts";
import { picturesOfView } from "./series-pictures.ts";

export interface ViewToCompare {
  readonly code: string;
  readonly viewKey: string;
  /** Of a person, for a picture that could not be aligned; kept with the comparison, and used again by the next. */
  readonly points?: { readonly frameId: string; readonly points: MatchedPoints };
}

/**
 * Compares a view over all visits that have a picture of it, and keeps the comparison.
 * @throws SamescaleError REQUEST_UNKNOWN, SERIES_TOO_SHORT
 */
export async function compareView(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  { code, viewKey, points }: ViewToCompare,
  signal?: AbortSignal,
): Promise<readonly ComparedMember[]> {
  const { id: requestId } = await requestByCode(desk, actor, code);
  const plan = await planOfRequest(desk, actor, requestId);
  const planned = plan?.views.find(({ view }) => view.key === viewKey);
  const pictures = planned ? await picturesOfView(desk, actor, requestId, viewKey) : [];
  const members = pictures.flatMap(({ member }) => (member ? [member] : []));
  if (!planned || members.length < 2) {
    throw new SamescaleError(
      "SERIES_TOO_SHORT",
      `There are not two visits with a picture of this view: ${members.length}`,
      "Check the visits against the plan first, or take the next visit's card in.",
    );
  }
  const kept = await keptSeries(
    desk,
    requestId,
    members.map(({ frame }) => frame.sha256),
  );
  const byHand = new Map(
    members.flatMap(({ frame }) => {
      if (points?.frameId === frame.frameId) return [[frame.frameId, points.points] as const];
      const before = kept?.members.find(({ original }) => original === frame.sha256)?.alignment?.points;
      return before ? [[frame.frameId, before] as const] : [];
    }),
  );
  return await compareSeries(
    desk,
    actor,
    pool,
    {
      requestId,
      members,
      objectDistanceMm: planned.objectDistanceMm,
      ownRepeats: await departmentRepeats(desk),
      points: byHand,
    },
    signal,
  );
}
