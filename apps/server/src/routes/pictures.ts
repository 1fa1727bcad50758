import { join } from "node:path";
import { type Actor, LOOKS_AT_PICTURES, originalToLookAt, thumbnail } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { createPicturePool } from "@samescale/picture";
import type { FastifyReply } from "fastify";
import { z } from "zod";
import type { Area } from "../deps.ts";
import { who } from "../identity/who.ts";
import { isTile, levelsOf, TILE_PX } from "../tiles/levels.ts";
import { openTileStore, type TileSource } from "../tiles/tile-store.ts";

/** How a picture is cut: `levels` of them, level 0 one pixel, the last the upright picture, each tile `tilePx` wide. */
export interface PictureTiles {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly tilePx: number;
  readonly levels: number;
}

const THUMBNAIL_PX = 480;
/** That which was made when it came in, as it is. */
const PREVIEW_PX = 2000;
/** Nobody who looks waits for a card that is being taken in, so they have threads of their own. */
const THREADS = 2;

const picture = z.object({ sha256: z.string().regex(/^[0-9a-f]{64}$/) });
const tile = picture.extend({
  level: z
    .string()
    .regex(/^\d{1,2}$/)
    .transform(Number),
  tile: z.string().regex(/^\d{1,4}_\d{1,4}\.jpg$/),
});

/** Thumbnails, previews and tiles, named by hashes. Every one is asked for at the desk: a hash alone opens nothing. */
export const picturesRoutes: Area = (app, { desk }) => {
  const pool = createPicturePool(THREADS, { ready: 1 });
  const tiles = openTileStore(join(desk.library.folder, "tiles"), pool);
  app.addHook("onClose", async () => {
    await pool.close();
    await (await tiles).close();
  });

  const config = { may: LOOKS_AT_PICTURES };

  app.get("/pictures/:sha256/thumbnail", { config, schema: { params: picture } }, async (request, reply) => {
    const { sha256 } = request.params;
    const jpeg = await thumbnail(desk, who(request), pool, sha256, THUMBNAIL_PX);
    return await sendPicture(reply, jpeg ?? missing(sha256));
  });

  app.get("/pictures/:sha256/preview", { config, schema: { params: picture } }, async (request, reply) => {
    const { sha256 } = request.params;
    const jpeg = await thumbnail(desk, who(request), pool, sha256, PREVIEW_PX);
    return await sendPicture(reply, jpeg ?? missing(sha256));
  });

  app.get(
    "/pictures/:sha256/tiles.json",
    { config, schema: { params: picture } },
    async (request): Promise<PictureTiles> => {
      const { sha256 } = request.params;
      const source = await sourceOf(who(request), sha256);
      (await tiles).open(sha256, source);
      return { ...source.size, tilePx: TILE_PX, levels: levelsOf(source.size).length };
    },
  );

  app.get(
    "/pictures/:sha256/tiles/:level/:tile",
    { config, schema: { params: tile } },
    async (request, reply) => {
      const { sha256, level, tile } = request.params;
      const [column, row] = tile.slice(0, -".jpg".length).split("_").map(Number) as [number, number];
      const source = await sourceOf(who(request), sha256);
      const size = levelsOf(source.size)[level];
      if (!size || !isTile(size, column, row)) return missing(sha256);
      return await sendPicture(reply, await (await tiles).tile(sha256, source, level, column, row));
    },
  );

  async function sourceOf(actor: Actor, sha256: string): Promise<TileSource> {
    const { file, size, preview } = (await originalToLookAt(desk, actor, sha256)) ?? missing(sha256);
    return { file, preview, size: size ?? (await pool.run("info", { file })) };
  }
};

/** Also where it is there and not for them. */
function missing(sha256: string): never {
  throw new SamescaleError(
    "PICTURE_UNKNOWN",
    `There is no picture ${sha256.slice(0, 12)}… here that you may look at`,
    "Open it from its request; it may have been put aside or destroyed since.",
  );
}

/** Like every answer it is kept in no cache (`guard/headers.ts`): the page has it for as long as it is open. */
const sendPicture = async (reply: FastifyReply, jpeg: Uint8Array): Promise<FastifyReply> =>
  await reply.type("image/jpeg").send(jpeg);
