import { open } from "node:fs/promises";
import type { BackupSecret } from "@samescale/desk";
import type { Command } from "commander";
import { CommandFailure } from "./failure.ts";

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

const MOST_BYTES = 4096;

async function privateFile(path: string): Promise<Buffer> {
  const file = await open(path).catch((thrown) => {
    throw CommandFailure.from(thrown, path);
  });
  try {
    const { mode } = await file.stat();
    if (process.getuid !== undefined && (mode & 0o077) !== 0) {
      throw CommandFailure.badArguments(
        `${path}: others on this machine can read it`,
        `Close it: chmod 600 ${path}`,
      );
    }
    const { bytesRead, buffer } = await file.read(Buffer.alloc(MOST_BYTES), 0, MOST_BYTES, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await file.close();
  }
}
