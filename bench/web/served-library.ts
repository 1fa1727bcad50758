import { join } from "node:path";
import { buildApp } from "../../apps/server/src/index.ts";
import { buildWeb } from "../../apps/web/build.ts";
import {
  actorOfThisMachine,
  type Desk,
  openDoor,
  readPracticeFolder,
  startPractice,
} from "../../packages/desk/src/index.ts";
import type { PicturePool } from "../../packages/picture/src/index.ts";

/** The application over a library that a bench made, in this process, with a starting practice below its folder. */
export async function serveLibrary(folder: string, desk: Desk, pool: PicturePool) {
  const practiceFolder = join(folder, "practice");
  await startPractice(practiceFolder);
  const app = await buildApp({
    desk,
    pool,
    door: openDoor(desk),
    personHere: () => actorOfThisMachine(desk, "bench"),
    practice: () => readPracticeFolder(practiceFolder),
    practiceFolder: async () => practiceFolder,
    webFolder: await buildWeb(),
    isDemonstration: false,
    dropFolder: join(folder, "dropped"),
  });
  return { url: await app.listen({ host: "127.0.0.1", port: 0 }), close: () => app.close() };
}
