import type { AddressInfo } from "node:net";
import { type Actor, cardPage, contactSheet, type Desk, thumbnail } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import { buildApp } from "@samescale/server";
import { practiceInUse } from "../frame/practice-in-use.ts";

const LOOPBACK = "127.0.0.1";

/**
 * Serves the pages over a library on this machine only, says where in one line on standard output, and goes on until
 * interrupted (Ctrl-C).
 */
export async function serveLibrary(
  desk: Desk,
  actor: Actor,
  pool: PicturePool,
  title: string,
  port: number,
): Promise<void> {
  const app = buildApp({
    title,
    contactSheet: () => contactSheet(desk, actor),
    thumbnail: (sha256, maxSidePx) => thumbnail(desk, actor, pool, sha256, maxSidePx),
    // The practice is read anew for each card: a person may be editing it.
    shotCard: async (requestCode) => {
      const { practice } = await practiceInUse({ library: desk.library.folder });
      return await cardPage(desk, actor, requestCode, practice);
    },
  });
  const interrupted = new Promise<void>((resolve) => {
    process.once("SIGINT", () => resolve());
    process.once("SIGTERM", () => resolve());
  });
  try {
    await app.listen({ host: LOOPBACK, port });
  } catch (thrown) {
    if ((thrown as NodeJS.ErrnoException).code !== "EADDRINUSE") throw thrown;
    throw new SamescaleError(
      "PORT_IN_USE",
      `Port ${port} is in use by another program`,
      "Choose another with --port, or --port 0 for any free one.",
    );
  }
  process.stdout.write(`Open http://${LOOPBACK}:${(app.server.address() as AddressInfo).port}/\n`);
  await interrupted;
  await app.close();
}
