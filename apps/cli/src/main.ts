import { Command, CommanderError } from "commander";
import { commands } from "./commands.ts";
import { CommandFailure, tellFailure } from "./frame/failure.ts";

/**
 * Entry of `samescale`. Only the module of the command that was asked for is loaded, so that the light
 * commands answer at once. Whatever goes wrong is told in two lines, never as a stack trace.
 */
async function main(argv: readonly string[]): Promise<number> {
  // A reader that stops early (`| head`) is not an error.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => process.exit(error.code === "EPIPE" ? 0 : 1));
  const asked = argv[0] ?? "";
  let exitCode = 0;
  try {
    const program = await commandLine(asked, (code) => {
      exitCode = code;
    });
    await program.parseAsync([...argv], { from: "user" });
    return exitCode;
  } catch (thrown) {
    if (thrown instanceof CommanderError) return thrown.exitCode === 0 ? 0 : 2;
    const failure =
      thrown instanceof CommandFailure ? thrown : CommandFailure.from(thrown, `samescale ${asked}`);
    return tellFailure(failure);
  }
}

async function commandLine(asked: string, exit: (code: number) => void): Promise<Command> {
  const program = new Command("samescale")
    .description("Clinical photographs at the same scale, every time.")
    .version("0.1.0")
    .exitOverride()
    .configureOutput({ writeOut: (s) => process.stdout.write(s), writeErr: (s) => process.stderr.write(s) });
  for (const [name, { summary, load }] of Object.entries(commands)) {
    const command = program.command(name).description(summary).exitOverride();
    if (name === asked) (await load()).configure(command, exit);
  }
  return program;
}

process.exitCode = await main(process.argv.slice(2));
