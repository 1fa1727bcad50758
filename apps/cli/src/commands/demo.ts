import type { Command } from "commander";
import { portOption } from "../frame/options.ts";

export function configure(command: Command, exit: (code: number) => void): void {
  command.option(
    "--dir <folder>",
    "where to make it; made when missing, made anew when it is there",
    "samescale-demo",
  );
  command.option("--no-serve", "end after the summary instead of serving the contact sheet");
  portOption(command)
    .addHelpText(
      "after",
      "\nEverything in it is invented; the pictures come from a virtual camera. Ctrl-C stops it.",
    )
    .action(async (options: { dir: string; serve: boolean; port: number }) => {
      const { runDemo } = await import("../demo/run-demo.ts");
      const { progressLine } = await import("../demo/progress-line.ts");
      const stop = new AbortController();
      const onInterrupt = () => stop.abort();
      process.once("SIGINT", onInterrupt);
      process.once("SIGTERM", onInterrupt);
      try {
        exit(await runDemo({ ...options, signal: stop.signal, tell: progressLine }));
      } catch (thrown) {
        if (!stop.signal.aborted) throw thrown;
        exit(130);
      } finally {
        process.off("SIGINT", onInterrupt);
        process.off("SIGTERM", onInterrupt);
      }
    });
}
