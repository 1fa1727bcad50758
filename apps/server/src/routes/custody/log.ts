import {
  type FoundRow,
  type FrameOnRecord,
  find,
  frameOnRecord,
  type HistoryLine,
  history,
  type LogPage,
  logPage,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { LOG_READERS } from "./readers.ts";

/** A frame and everything that was done with it, from the card to each release. */
export interface FrameStory {
  readonly frame: FrameOnRecord;
  readonly lines: readonly HistoryLine[];
}
/** A frame that fits what was typed. */
export type FoundFrame = FoundRow;
export type { FrameOnRecord, HistoryLine, LogLine, LogPage } from "@samescale/desk";

const config = { may: LOG_READERS };
const FOUND = 20;

/** The custody log in words. */
export const logRoutes: Area = (app, { desk }) => {
  app.get(
    "/custody/log",
    {
      config,
      schema: {
        querystring: z.strictObject({
          day: z.iso.date().optional(),
          act: z
            .string()
            .regex(/^[a-z-]{1,40}(\.[a-z-]{1,40})?$/)
            .optional(),
          person: z.string().trim().min(1).max(100).optional(),
          before: z.coerce.number().int().min(1).optional(),
        }),
      },
    },
    async (request): Promise<LogPage> => await logPage(desk, who(request), request.query),
  );

  app.get(
    "/custody/frames",
    { config, schema: { querystring: z.strictObject({ text: z.string().trim().min(1).max(200) }) } },
    async (request): Promise<readonly FoundFrame[]> => {
      const wanted = { facets: {}, from: null, until: null, after: null, limit: FOUND };
      return (await find(desk, who(request), { kind: "frame", text: request.query.text, ...wanted })).rows;
    },
  );

  app.get(
    "/custody/frames/:id",
    { config, schema: { params: z.object({ id: z.string().max(80) }) } },
    async (request): Promise<FrameStory> => {
      const { id } = request.params;
      const actor = who(request);
      const frame = /^[0-9A-Za-z-]+$/.test(id) ? await frameOnRecord(desk, actor, id) : null;
      const lines = frame && (await history(desk, actor, `frame/${id}`));
      if (frame && lines) return { frame, lines };
      throw new SamescaleError(
        "FRAME_MISSING",
        "The library has no such frame that you may know of",
        "Look for it by its name or its request's code.",
      );
    },
  );
};
