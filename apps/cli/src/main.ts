import { Command, CommanderError } from "commander";
import { commands } from "./commands.ts";
import { CommandFailure, tellFailure } from "./frame/failure.ts";

/**
 * Entry of `samescale`. Only the module of the command that was asked for is loaded, so that the light
 * commands answer at once.
 */
async function main(argv: readonly string[]): Promise<number> {
  // A reader that stops early (`| head`) is not an error.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => process.exit(error.code === "EPIPE" ? 0 : 1));
  const program = new Command("samescale")
    .description("Clinical photographs at the same scale, every time.")
    .version("0.1.0")
    .exitOverride()
    .configureOutput({ writeOut: (s) => process.stdout.write(s), writeErr: (s) => process.stderr.write(s) });
  const asked = argv[0];
  let exitCode = 0;
  for (const [name, entry] of Object.entries(commands)) {
    const command = program.command(name).description(entry.summary).exitOverride();
    if (name !== asked) continue;
    const module = await entry.load();
    module.configure(command, (code) => {
      exitCode = code;
    });
  }
  try {
    await program.parseAsync([...argv], { from: "user" });
    return exitCode;
  } catch (thrown) {
    if (thrown instanceof CommanderError) return thrown.exitCode === 0 ? 0 : 2;
    return tellFailure(
      thrown instanceof CommandFailure ? thrown : CommandFailure.from(thrown, `samescale ${asked ?? ""}`),
    );
  }
}

process.exitCode = await main(process.argv.slice(2));
