import {
  type Actor,
  clockAsBooked,
  clockFromFrame,
  correctClock,
  doneOrThrow,
  type FoundCorrection,
  PHOTOGRAPHERS,
  type SuspectClock,
  suspectClocks,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";

/** How a camera's clock was put right. */
export interface ClockPutRight {
  readonly intakeId: string;
  readonly frames: number;
  /** Seconds added to what the camera wrote, which stays beside it. */
  readonly offsetS: number;
  readonly because: string;
}
export type { SuspectClock };

const config = { may: PHOTOGRAPHERS };
const id = z.string().regex(/^[0-9A-Za-z-]{1,40}$/);
/** A century: whatever a clock that lost its battery says. */
const MOST_S = 100 * 366 * 86_400;

const correction = z.discriminatedUnion("by", [
  z.strictObject({ by: z.literal("bookings"), intakeId: id }),
  z.strictObject({ by: z.literal("frame"), frameId: id, shows: z.string().max(40) }),
  z.strictObject({
    by: z.literal("seconds"),
    intakeId: id,
    offsetS: z.int().min(-MOST_S).max(MOST_S),
    because: z.string().trim().min(1).max(500),
  }),
]);

/** Cards whose camera's clock ran wrong, and what a person does about it. */
export const clockRoutes: Area = (app, { desk }) => {
  app.get(
    "/card/clocks",
    { config },
    async (request): Promise<readonly SuspectClock[]> => await suspectClocks(desk, who(request)),
  );

  app.post(
    "/card/clocks",
    { config, schema: { body: correction } },
    async (request): Promise<ClockPutRight> => {
      const actor = who(request);
      const found = await find(actor, request.body);
      if ("refused" in found) {
        throw new SamescaleError("ACT_REFUSED", found.refused, "Nothing was changed.");
      }
      const { frames } = doneOrThrow(await correctClock(desk, actor, found));
      return { ...found, frames };
    },
  );

  async function find(actor: Actor, wanted: z.infer<typeof correction>): Promise<FoundCorrection> {
    switch (wanted.by) {
      case "bookings":
        return await clockAsBooked(desk, actor, wanted.intakeId);
      case "frame":
        return await clockFromFrame(desk, wanted.frameId, wanted.shows);
      case "seconds": {
        const { intakeId, offsetS, because } = wanted;
        return { intakeId, offsetS, because };
      }
    }
  }
};
