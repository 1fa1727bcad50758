import { bringFindingUpToDate, openDesk } from "@samescale/desk";
import { createPicturePool } from "@samescale/picture";
import type { Command } from "commander";
import { demoClock } from "../demo/demo-clock.ts";
import { isDemonstration } from "../demo/demo-folder.ts";
import { libraryOption, portOption } from "../frame/options.ts";
import { serveLibrary } from "../serve/serve-library.ts";

export function configure(command: Command): void {
  libraryOption(command);
  portOption(command);
  command
    .option(
      "--card-folder <folder...>",
      "where cards may lie that are taken in at this machine once there are accounts (docs/intake.md)",
    )
    .addHelpText("after", "\nOn this machine only (127.0.0.1). Ctrl-C ends it.")
    .action(async (options: { library: string; port: number; cardFolder?: string[] }) => {
      const clock = isDemonstration(options.library) ? demoClock() : null;
      const desk = await openDesk(options.library, clock ? { clock: clock.now } : {});
      await clock?.setFrom(desk);
      await bringFindingUpToDate(desk);
      const pool = createPicturePool();
      try {
        await serveLibrary(desk, pool, options.port, options.cardFolder ?? []);
      } finally {
        await pool.close();
        await desk.close();
      }
    });
}
