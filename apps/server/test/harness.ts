import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import {
  actorOfThisMachine,
  openDesk,
  openDoor,
  practiceFolderFor,
  readPracticeFolder,
} from "@samescale/desk";
import { createPicturePool } from "@samescale/picture";
import { buildApp, type Deps, LOOPBACK_SETTINGS, type ServerSettings } from "../src/index.ts";

export type App = Awaited<ReturnType<typeof buildApp>>;

/** The routes over an empty library of its own, without a socket and without the pages. */
export async function openApp(
  change: Partial<Deps> = {},
  settings: Partial<ServerSettings> = {},
): Promise<App> {
  const folder = await mkdtemp(join(tmpdir(), "samescale-server-"));
  const library = join(folder, "library");
  const desk = await openDesk(library);
  const pool = createPicturePool();
  const practiceFolder = () => practiceFolderFor(undefined, library);
  const app = await buildApp(
    {
      desk,
      pool,
      door: openDoor(desk),
      personHere: () => actorOfThisMachine(desk, "tester"),
      practice: async () => readPracticeFolder(await practiceFolder()),
      practiceFolder,
      webFolder: null,
      isDemonstration: false,
      dropFolder: join(folder, "dropped"),
      ...change,
    },
    { ...LOOPBACK_SETTINGS, ...settings },
  );
  app.addHook("onClose", async () => {
    await pool.close();
    await desk.close();
    await rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
  });
  return app;
}
