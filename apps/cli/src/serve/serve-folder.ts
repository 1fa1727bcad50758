import { bringFindingUpToDate, openDesk } from "@samescale/desk";
import { createPicturePool } from "@samescale/picture";
import { demoClock } from "../demo/demo-clock.ts";
import { isDemonstration } from "../demo/demo-folder.ts";
import { finishRemoving, removeDemonstration } from "../demo/remove-demo.ts";
import { type ServingEnded, serveLibrary } from "./serve-library.ts";
import type { ServeOptions } from "./serve-options.ts";

/**
 * Opens the library of a folder and serves it until interrupted. When the demonstration in it is removed from the page,
 * the same program goes on at the same address over the empty library.
 */
export async function serveFolder(library: string, options: ServeOptions): Promise<void> {
  await finishRemoving(library);
  const { startOver, port } = await serveOnce(library, options);
  if (startOver === null) return;
  const left = await removeDemonstration(library, startOver);
  const besides = left.length === 0 ? "" : ` Left alone beside it: ${left.join(", ")}.`;
  process.stderr.write(`samescale: the demonstration was removed; the library is empty.${besides}\n`);
  await serveFolder(library, { ...options, port });
}

async function serveOnce(library: string, options: ServeOptions): Promise<ServingEnded> {
  const clock = isDemonstration(library) ? demoClock() : null;
  const desk = await openDesk(library, clock ? { clock: clock.now } : {});
  await clock?.setFrom(desk);
  await bringFindingUpToDate(desk);
  const pool = createPicturePool();
  try {
    return await serveLibrary(desk, pool, options);
  } finally {
    await pool.close();
    await desk.close();
  }
}
