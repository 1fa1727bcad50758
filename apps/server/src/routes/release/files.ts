import { Readable } from "node:stream";
import { doneOrThrow, fetchReleased, PHOTOGRAPHERS, type Role } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { FastifyRequest } from "fastify";
import { z } from "zod";
import type { Area } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { byId } from "./fields.ts";
import { releasedFolder } from "./released-folder.ts";

const FETCHERS: readonly Role[] = [...PHOTOGRAPHERS, "requester"];

/**
 * What was released, for whoever takes it to the recipient. Each time the desk asks for consent anew and writes it down;
 * names are those of the receipt, and no path of the browser's is opened.
 */
export const fileRoutes: Area = (app, { desk }) => {
  const config = { may: FETCHERS };
  // Fetching is written down: asking only for the head of it would be as well.
  const exposeHeadRoute = false;

  app.get(
    "/release/receipts/:id/zip",
    { config, schema: { params: byId }, exposeHeadRoute },
    async (request, reply) => {
      fromOwnPage(request);
      const folder = releasedFolder(desk);
      const { mark, zip } = doneOrThrow(
        await fetchReleased(desk, who(request), folder, request.params.id, null),
      );
      if (zip === null) {
        throw new SamescaleError(
          "RELEASE_TOO_LARGE",
          "This release is too large for one archive",
          "Fetch its files one by one, or copy its folder on the server.",
        );
      }
      return await reply
        .type("application/zip")
        .header("content-disposition", `attachment; filename="${mark}.zip"`)
        .send(Readable.from(zip()));
    },
  );

  app.get(
    "/release/receipts/:id/file",
    {
      config,
      schema: { params: byId, querystring: z.object({ name: z.string().min(1).max(1000) }) },
      exposeHeadRoute,
    },
    async (request, reply) => {
      fromOwnPage(request);
      const folder = releasedFolder(desk);
      const { files } = doneOrThrow(
        await fetchReleased(desk, who(request), folder, request.params.id, request.query.name),
      );
      const [file] = files;
      // Names of released files are plain: letters, digits, full stops, hyphens and underscores.
      const name = file!.name.split("/").at(-1)!;
      return await reply
        .type("application/octet-stream")
        .header("content-length", file!.bytes)
        .header("content-disposition", `attachment; filename="${name}"`)
        .send(Readable.from(file!.open()));
    },
  );
};

/** A link on a page of another site may open our pages; it may not fetch pictures, and write that down. */
function fromOwnPage({ headers }: FastifyRequest): void {
  const site = headers["sec-fetch-site"];
  if (site === undefined || site === "same-origin" || site === "none") return;
  throw new SamescaleError(
    "OTHER_SITE",
    "This request did not come from the application's own page",
    "Open the application itself and do it there.",
  );
}
