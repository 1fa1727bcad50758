import {
  doneOrThrow,
  PHOTOGRAPHERS,
  type Placed,
  type PlaceForFrames,
  type PlacingOnRecord,
  placeFrames,
  placesForFrames,
  placingsOnRecord,
  requestByCode,
  type Undone,
  undoPlacing,
  type WaitingCard,
  waitingCards,
} from "@samescale/desk";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";

/** Frames that wait for a person, and where they may belong. */
export interface WhoseAreThey {
  readonly cards: readonly WaitingCard[];
  readonly places: readonly PlaceForFrames[];
  /** Placed by hand lately: each can be taken back. */
  readonly lately: readonly PlacingOnRecord[];
}
export type {
  Opener,
  Placed,
  PlaceForFrames,
  PlacingOnRecord,
  Undone,
  WaitingCard,
  WaitingFrame,
  WaitingGroup,
} from "@samescale/desk";

const config = { may: PHOTOGRAPHERS };
const id = z.string().regex(/^[0-9A-Za-z-]{1,40}$/);
const frameIds = z.array(id).min(1).max(5000);
const MOST_LATELY = 10;

/** Whose the frames are that no rule placed: a person says it, with a reason, and can take it back. */
export const placingRoutes: Area = (app, { desk }) => {
  app.get("/card/waiting", { config }, async (request): Promise<WhoseAreThey> => {
    const actor = who(request);
    const cards = await waitingCards(desk, actor);
    const days = new Set(
      cards.flatMap(({ groups }) =>
        groups.flatMap(({ frames }) => frames.flatMap(({ takenAt }) => takenAt?.slice(0, 10) ?? [])),
      ),
    );
    const places = await placesForFrames(desk, actor, [...days]);
    return { cards, places, lately: await placingsOnRecord(desk, actor, MOST_LATELY) };
  });

  app.post(
    "/card/place",
    {
      config,
      schema: {
        body: z.strictObject({
          frameIds,
          /** Null: back to those that wait. */
          request: z.string().min(1).max(60).nullable(),
          visitId: id.nullish(),
          because: z.string().trim().min(1).max(500),
        }),
      },
    },
    async (request): Promise<Placed> => {
      const { frameIds: ids, request: code, visitId, because } = request.body;
      const actor = who(request);
      const requestId = code === null ? null : (await requestByCode(desk, actor, code)).id;
      const visit = visitId ? { visitId } : {};
      return doneOrThrow(await placeFrames(desk, actor, { frameIds: ids, requestId, because, ...visit }));
    },
  );

  app.post(
    "/card/place/undo",
    {
      config,
      schema: {
        body: z.union([z.strictObject({ entry: z.int().min(1) }), z.strictObject({ frameIds })]),
      },
    },
    async (request): Promise<Undone> => doneOrThrow(await undoPlacing(desk, who(request), request.body)),
  );
};
