import {
  type ComparedFrame,
  comparedFrames,
  doneOrThrow,
  type FoundFrames,
  type FrameCard,
  type FrameFacts,
  foundFrames,
  frameFacts,
  judgeByHand,
  LOOKS_AT_PICTURES,
  PHOTOGRAPHERS,
  requestByCode,
  SENSITIVE_CATEGORIES,
  takeBackFrames,
  trashFrames,
  undoJudging,
  type VerdictBefore,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { Area } from "../deps.ts";
import { who } from "../identity/who.ts";

export type { ComparedFrame, FoundFrames, FrameCard, FrameFacts, VerdictBefore };

const PAGE = 250;

const id = z.string().regex(/^[0-9A-HJKMNP-TV-Z]{26}$/, "is no id of a frame");
const day = z.iso.date();
const wanted = z.object({
  text: z.string().max(300).default(""),
  request: z.string().max(60).optional(),
  visit: id.optional(),
  aside: z.enum(["yes"]).optional(),
  view: z.string().max(80).optional(),
  verdict: z.enum(["keep", "repeat", "your-choice", "not-judged"]).optional(),
  checked: z.enum(["checked", "not-checked"]).optional(),
  scale: z.enum(["read", "not-found", "not-looked"]).optional(),
  measured: z.enum(["measured", "not-measured"]).optional(),
  sensitive: z.enum(SENSITIVE_CATEGORIES).optional(),
  frame: z.enum(["picture", "label", "video"]).optional(),
  from: day.optional(),
  until: day.optional(),
  after: z.string().max(12).optional(),
});
const FACETS = ["view", "verdict", "checked", "scale", "measured", "sensitive", "frame"] as const;
/** As many as somebody marks by hand. */
const frameIds = z.array(id).min(1).max(500);
const before = z.object({ frameId: id, verdictId: id.nullable() });
const because = z.string().min(1).max(300);

/** Frames: found, looked at, judged. */
export const framesRoutes: Area = (app, { desk }) => {
  app.get(
    "/frames",
    { config: { may: LOOKS_AT_PICTURES }, schema: { querystring: wanted } },
    async (request): Promise<FoundFrames> => {
      const { query } = request;
      const actor = who(request);
      return await foundFrames(desk, actor, {
        text: query.text,
        requestId: query.request === undefined ? null : (await requestByCode(desk, actor, query.request)).id,
        visitId: query.visit ?? null,
        aside: query.aside === "yes",
        facets: Object.fromEntries(
          FACETS.flatMap((facet) => (query[facet] === undefined ? [] : [[facet, [query[facet]]]])),
        ),
        from: query.from ?? null,
        until: query.until ?? null,
        after: query.after ?? null,
        limit: PAGE,
      });
    },
  );

  const ids = z
    .string()
    .max(4 * 27)
    .transform((text) => text.split(","))
    .pipe(z.array(id).min(1).max(4));
  app.get(
    "/frames/compare",
    { config: { may: LOOKS_AT_PICTURES }, schema: { querystring: z.object({ ids }) } },
    async (request): Promise<ComparedFrame[]> => await comparedFrames(desk, who(request), request.query.ids),
  );

  app.get(
    "/frames/:id",
    { config: { may: LOOKS_AT_PICTURES }, schema: { params: z.object({ id }) } },
    async (request): Promise<FrameFacts> => {
      const facts = await frameFacts(desk, who(request), request.params.id);
      if (facts) return facts;
      throw new SamescaleError(
        "FRAME_UNKNOWN",
        `There is no frame ${request.params.id}`,
        "Go back to the list; it may have been moved, or the address was typed wrong.",
      );
    },
  );

  const judging = z.object({
    frameIds,
    verdict: z.enum(["keep", "repeat", "your-choice"]).optional(),
    note: z.string().max(500).nullable().optional(),
  });
  app.post(
    "/frames/judge",
    { config: { may: PHOTOGRAPHERS }, schema: { body: judging } },
    async (request): Promise<{ before: VerdictBefore[] }> => {
      const { frameIds: ids, verdict, note } = request.body;
      const said = { ...(verdict && { verdict }), ...(note !== undefined && { note }) };
      // One act a frame: each has it in its own history.
      const told: VerdictBefore[] = [];
      for (const frameId of new Set(ids))
        told.push(doneOrThrow(await judgeByHand(desk, who(request), { frameId, ...said })));
      return { before: told };
    },
  );

  app.post(
    "/frames/judge/undo",
    {
      config: { may: PHOTOGRAPHERS },
      schema: { body: z.object({ before: z.array(before).min(1).max(500) }) },
    },
    async (request): Promise<{ before: VerdictBefore[] }> => {
      const told: VerdictBefore[] = [];
      for (const one of request.body.before)
        told.push(doneOrThrow(await undoJudging(desk, who(request), one)));
      return { before: told };
    },
  );

  const aside = { config: { may: PHOTOGRAPHERS }, schema: { body: z.object({ frameIds, because }) } };
  app.post("/frames/put-aside", aside, async (request) =>
    doneOrThrow(await trashFrames(desk, who(request), request.body)),
  );
  app.post("/frames/take-back", aside, async (request) =>
    doneOrThrow(await takeBackFrames(desk, who(request), request.body)),
  );
};
