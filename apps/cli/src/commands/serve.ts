import { openDesk } from "@samescale/desk";
import { createPicturePool } from "@samescale/picture";
import type { Command } from "commander";
import { libraryOption, portOption } from "../frame/options.ts";
import { serveLibrary } from "../serve/serve-library.ts";

export function configure(command: Command): void {
  libraryOption(command);
  portOption(command);
  command
    .addHelpText("after", "\nOn this machine only (127.0.0.1). Ctrl-C ends it.")
    .action(async (options: { library: string; port: number }) => {
      const desk = await openDesk(options.library);
      const pool = createPicturePool();
      try {
        await serveLibrary(desk, pool, options.library, options.port);
      } finally {
        await pool.close();
        await desk.close();
      }
    });
}
