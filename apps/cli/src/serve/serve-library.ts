import type { AddressInfo } from "node:net";
import { userInfo } from "node:os";
import {
  type Actor,
  actorOfThisMachine,
  cardPage,
  contactSheet,
  type Desk,
  hasAccounts,
  thumbnail,
} from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import { buildApp } from "@samescale/server";
import { practiceInUse } from "../frame/practice-in-use.ts";

const LOOPBACK = "127.0.0.1";

/**
 * The photographer of this machine. Asked anew for every page: once the library has accounts, these pages, which cannot
 * ask who looks, show nothing to nobody.
 */
async function whoLooks(desk: Desk): Promise<Actor> {
  if (!(await hasAccounts(desk.library.read))) return await actorOfThisMachine(desk, userInfo().username);
  throw new SamescaleError(
    "PAGES_WITHOUT_SIGN_IN",
    "This library has accounts, and these pages cannot ask yet who looks",
    "Use the commands, signed in: samescale people sign-in NAME.",
  );
}

/**
 * Serves the pages over a library on this machine only, says where in one line on standard output, and goes on until
 * interrupted (Ctrl-C).
 */
export async function serveLibrary(
  desk: Desk,
  pool: PicturePool,
  title: string,
  port: number,
): Promise<void> {
  await whoLooks(desk);
  const app = buildApp({
    title,
    contactSheet: async () => contactSheet(desk, await whoLooks(desk)),
    thumbnail: async (sha256, maxSidePx) => thumbnail(desk, await whoLooks(desk), pool, sha256, maxSidePx),
    // The practice is read anew for each card: a person may be editing it.
    shotCard: async (requestCode) => {
      const { practice } = await practiceInUse({ library: desk.library.folder });
      return await cardPage(desk, await whoLooks(desk), requestCode, practice);
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
