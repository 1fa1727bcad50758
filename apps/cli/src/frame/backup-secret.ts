import type { BackupSecret } from "@samescale/desk";
import type { Command } from "commander";
import { CommandFailure } from "./failure.ts";
import { privateFile } from "./private-file.ts";

export interface SecretOptions {
  readonly passphraseFile?: string;
  readonly keyFile?: string;
}

/** What opens a backup is never typed on the command line, where everybody on the machine could read it. */
export function secretOptions(command: Command): Command {
  return command
    .option("--passphrase-file <file>", "file with the passphrase as its first line")
    .option(
      "--key-file <file>",
      "file with a key of 64 hexadecimal digits, as `openssl rand -hex 32` writes it",
    );
}

/** Null: neither was named. */
export async function secretOf({ passphraseFile, keyFile }: SecretOptions): Promise<BackupSecret | null> {
  if (passphraseFile !== undefined && keyFile !== undefined) {
    throw CommandFailure.badArguments("Expected one of --passphrase-file and --key-file", "Leave one out.");
  }
  if (keyFile !== undefined) return { from: "key-file", bytes: await privateFile(keyFile) };
  if (passphraseFile === undefined) return null;
  const [line = ""] = (await privateFile(passphraseFile)).toString("utf8").split(/\r?\n/);
  return { from: "passphrase", text: line };
}
