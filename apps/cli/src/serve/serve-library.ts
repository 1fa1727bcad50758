import type { AddressInfo } from "node:net";
import { userInfo } from "node:os";
import { resolve } from "node:path";
import { actorOfThisMachine, type Desk, openDoor } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import { buildApp } from "@samescale/server";
import { buildWeb } from "@samescale/web/build";
import { isDemonstration } from "../demo/demo-folder.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";

const LOOPBACK = "127.0.0.1";

/**
 * Serves the application over a library on this machine only, says where in one line on standard output, and goes on
 * until interrupted (Ctrl-C).
 */
export async function serveLibrary(
  desk: Desk,
  pool: PicturePool,
  port: number,
  cardFolders: readonly string[] = [],
): Promise<void> {
  const { folder } = desk.library;
  const inUse = () => practiceInUse({ library: folder });
  const app = await buildApp({
    desk,
    pool,
    door: openDoor(desk),
    personHere: () => actorOfThisMachine(desk, userInfo().username),
    practice: async () => (await inUse()).practice,
    practiceFolder: async () => (await inUse()).folder,
    webFolder: await buildWeb(),
    isDemonstration: isDemonstration(folder),
    // Beside the library: a card is never taken in from inside it.
    dropFolder: `${resolve(folder)}-dropped`,
    cardFolders,
  });
  const interrupted = new Promise<void>((resolve) => {
    process.once("SIGINT", () => resolve());
    process.once("SIGTERM", () => resolve());
  });
  try {
    await app.listen({ host: LOOPBACK, port });
  } catch (thrown) {
    await app.close();
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
