import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import type { Practice } from "@samescale/practice";
import { lookAt } from "../access/look.ts";
import type { Actor } from "../act/actor.ts";
import { cautionsOf } from "../card/card-of-plan.ts";
import type { Desk } from "../desk.ts";
import { planOfRequest } from "../look/plan-of-request.ts";
import { requestByCode } from "../look/request-by-code.ts";
import { drawGhosts } from "../repeat/make-ghosts.ts";
import { repeatRequest } from "../repeat/repeat-request.ts";
import { requestAsked } from "../requests/list-requests.ts";

/** What the bedside shows of a request before the first frame. */
export interface BedsideSubject {
  readonly requestId: string;
  readonly code: string;
  readonly title: string;
  readonly state: "open" | "done" | "cancelled";
  readonly patientNumber: string | null;
  /** The requester's, then those of the plan's views; each once. */
  readonly cautions: readonly string[];
  readonly views: readonly {
    readonly key: string;
    readonly name: string;
    readonly magnification: number;
    readonly orientation: "landscape" | "portrait";
  }[];
}

/** @throws SamescaleError REQUEST_UNKNOWN, REQUEST_WITHOUT_PLAN */
export async function bedsideSubject(desk: Desk, actor: Actor, code: string): Promise<BedsideSubject> {
  const { id } = await requestByCode(desk, actor, code);
  const request = (await requestAsked(desk, actor, code))!;
  const plan = await planOfRequest(desk, actor, id);
  if (!plan) {
    throw new SamescaleError(
      "REQUEST_WITHOUT_PLAN",
      `Request ${code} has no plan to judge frames by`,
      "Plan its views first: Requests, then the request's plan.",
    );
  }
  const asked = request.details.cautions.map(({ kind, note }) => {
    const named = kind[0]!.toUpperCase() + kind.slice(1).replaceAll("-", " ");
    return note === undefined ? `${named}: the requester says so.` : `${named}: ${note}`;
  });
  return {
    requestId: id,
    code,
    title: request.title,
    state: request.state,
    patientNumber: request.patient?.number ?? null,
    cautions: [...new Set([...asked, ...cautionsOf(plan)])],
    views: plan.views.map(({ view, magnification }) => ({
      key: view.key,
      name: view.name,
      magnification,
      orientation: view.orientation,
    })),
  };
}

/** A ghost to lie over a frame on a screen. */
export interface ScreenGhost {
  readonly png: Uint8Array;
  /** Original that it was drawn from. */
  readonly from: string;
}

/** The ghosts of a request's baseline, by key of the view; none where nothing is repeated. */
export async function screenGhosts(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  requestId: string,
  practice: Practice,
  signal: AbortSignal,
): Promise<ReadonlyMap<string, ScreenGhost>> {
  const repeat = await repeatRequest(desk, actor, pool, { requestId }, practice, signal);
  if (!repeat.done) return new Map();
  const drawn = await drawGhosts(desk, pool, repeat.value, practice, signal);
  if (!drawn.done) return new Map();
  return new Map(drawn.value.map(({ key, ghost, from }) => [key, { png: ghost.png, from }]));
}

/** Whether somebody may see this ghost: it shows the patient as the picture does. A sensitive one is put on record. */
export const mayLookAtGhost = (desk: Desk, actor: Actor, { from }: ScreenGhost): Promise<boolean> =>
  lookAt(desk, actor, from);
