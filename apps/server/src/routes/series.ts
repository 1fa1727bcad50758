import {
  compareView,
  LOOKS_AT_PICTURES,
  PHOTOGRAPHERS,
  releasedFolderOf,
  releaseReport,
  requestByCode,
  type SeriesRequest,
  type SeriesVisitShown,
  seriesPicture,
  seriesRequests,
  seriesWindow,
  type WholeSeries,
  type WindowShown,
  wholeSeries,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { createPicturePool } from "@samescale/picture";
import { z } from "zod";
import type { Area } from "../deps.ts";
import { who } from "../identity/who.ts";
import { keepLately } from "../lately.ts";

export type { SeriesRequest, SeriesVisitShown, WholeSeries, WindowShown };

const params = z.object({ code: z.string().min(1).max(60) });
const view = z.string().min(1).max(80);
const frameId = z.string().regex(/^[0-9A-HJKMNP-TV-Z]{26}$/, "is no id of a frame");
const part = z.enum(["near", "whole"]).default("near");
/** Sharp on a screen, and no more than somebody looks at at once. */
const widthPx = z.coerce.number().int().min(100).max(2000);
const px = z.number().min(0).max(100_000);
const body = z.object({
  view,
  points: z
    .object({
      frameId,
      points: z
        .array(z.tuple([px, px, px, px]))
        .min(3)
        .max(12),
    })
    .optional(),
});
const line = (most: number) => z.string().trim().min(1).max(most);
const report = z.object({
  view,
  scope: z.enum(["health-record", "requester"]),
  to: line(120),
  purpose: line(200),
});

/** Windows that somebody blinks between are asked for again and again. */
const KEPT_BYTES = 64_000_000;

/** Visits compared at one scale. */
export const seriesRoutes: Area = (app, { desk, pool, jobs, practice }) => {
  // Whoever looks does not wait for what is being compared.
  const looking = createPicturePool(1);
  const lately = keepLately(KEPT_BYTES);
  app.addHook("onClose", () => looking.close());
  const config = { may: LOOKS_AT_PICTURES };

  app.get(
    "/series",
    { config },
    async (request): Promise<readonly SeriesRequest[]> => await seriesRequests(desk, who(request)),
  );

  app.get(
    "/series/:code",
    { config, schema: { params, querystring: z.object({ view: view.optional() }) } },
    async (request): Promise<WholeSeries> => {
      const { code } = request.params;
      await requestByCode(desk, who(request), code);
      return (await wholeSeries(desk, who(request), code, request.query.view ?? null))!;
    },
  );

  app.get(
    "/series/:code/window",
    { config, schema: { params, querystring: z.object({ view, part, widthPx }) } },
    async (request): Promise<WindowShown> => {
      const { view: viewKey, ...rest } = request.query;
      return (await seriesWindow(desk, who(request), { ...request.params, viewKey, ...rest })) ?? missing();
    },
  );

  app.get(
    "/series/:code/picture",
    {
      config,
      schema: {
        params,
        querystring: z.object({
          ...{ view, frame: frameId, part, widthPx },
          as: z.enum(["picture", "own-colours", "difference"]).default("picture"),
        }),
      },
    },
    async (request, reply) => {
      const { view: viewKey, frame, as, ...rest } = request.query;
      const picture =
        (await seriesPicture(desk, who(request), {
          ...request.params,
          ...{ viewKey, frameId: frame, ...rest },
          matchColours: as === "picture",
          asDifference: as === "difference",
        })) ?? missing();
      const bytes = await lately(picture.key, () => picture.make(looking));
      return await reply.type(picture.type).send(bytes);
    },
  );

  app.post(
    "/series/:code/compare",
    { config: { may: PHOTOGRAPHERS }, schema: { params, body } },
    async (request): Promise<{ job: string }> => {
      const actor = who(request);
      const { code } = request.params;
      const { view: viewKey, points } = request.body;
      await requestByCode(desk, actor, code);
      const wanted = { code, viewKey, ...(points && { points }) };
      const job = jobs.start(actor, `Comparing ${code}`, async (step, signal) => {
        step({ done: 0, total: null, at: "Laying every visit over the first" });
        const members = await compareView(desk, actor, pool, wanted, signal);
        return { visits: members.length };
      });
      return { job: job.id };
    },
  );

  app.post(
    "/series/:code/report",
    { config: { may: PHOTOGRAPHERS }, schema: { params, body: report } },
    async (request): Promise<{ job: string }> => {
      const actor = who(request);
      const { code } = request.params;
      const { view: viewKey, ...rest } = request.body;
      await requestByCode(desk, actor, code);
      const { department } = await practice();
      const releasedFolder = releasedFolderOf(desk.library.folder);
      const job = jobs.start(actor, `Report of ${code}`, async (step, signal) => {
        step({ done: 0, total: null, at: "Comparing anew, then setting the pages" });
        const wanted = { code, viewKey, department, releasedFolder, ...rest };
        return await releaseReport(desk, actor, pool, wanted, signal);
      });
      return { job: job.id };
    },
  );
};

function missing(): never {
  throw new SamescaleError(
    "SERIES_PICTURE_UNKNOWN",
    "There is no such picture in this series",
    "Open the series anew: a picture may have come, gone, or not be aligned yet.",
  );
}
