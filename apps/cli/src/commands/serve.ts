import type { Command } from "commander";
import { serveFolder } from "../serve/serve-folder.ts";
import { type ServeOptions, serveOptions } from "../serve/serve-options.ts";

export function configure(command: Command): void {
  serveOptions(command).action(async ({ library, ...options }: ServeOptions & { library: string }) => {
    await serveFolder(library, options);
  });
}
