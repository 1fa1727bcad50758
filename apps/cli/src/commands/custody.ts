import type { Command } from "commander";
import { type JsonOption, libraryOption } from "../frame/options.ts";
import { withDesk } from "../frame/with-desk.ts";
import { checkFolder } from "./custody/check.ts";
import { sayHead, sayKeys, signNow } from "./custody/heads.ts";
import { prove } from "./custody/prove.ts";
import { rotate } from "./custody/rotate.ts";
import { show } from "./custody/show.ts";
import { stamp } from "./custody/stamp.ts";

interface Options extends JsonOption {
  readonly library: string;
}

/** `samescale custody`: the log's signed heads, its proofs, and what happened to a picture (docs/custody.md). */
export function configure(command: Command, exit: (code: number) => void): void {
  const add = (name: string, description: string) => command.command(name).description(description);
  const json = (sub: Command) => libraryOption(sub.option("--json", "one JSON object per line"));

  json(add("head", "the newest signed head, to be kept elsewhere"))
    .option("--size <n>", "the signed head over this many entries")
    .option("--to <folder>", "write it to a new folder as files, with its time stamps")
    .action(async (options: Options & { size?: string; to?: string }) => {
      await withDesk(options.library, (desk) => sayHead(desk, options), "read");
    });
  json(add("sign", "sign the present head of the log")).action(async (options: Options) => {
    await withDesk(options.library, (desk) => signNow(desk, options), "open");
  });
  json(add("keys", "the keys that sign or signed, and who endorses them")).action(
    async (options: Options) => {
      await withDesk(options.library, (desk) => sayKeys(desk, options), "read");
    },
  );
  json(add("rotate", "begin a new key, endorsed by the one before"))
    .requiredOption("--because <reason>", "why, for the log")
    .option("--lost", "the key before is lost and cannot endorse the new one; verify will always tell of it")
    .action(async (options: Options & { because: string; lost?: true }) => {
      await withDesk(options.library, (desk) => rotate(desk, options), "open");
    });
  json(add("prove", "write proofs that entries are in the signed log, to be checked without this program"))
    .argument("[entry-or-subject...]", "numbers of entries, or what they are about: frame/ID, file/SHA-256 …")
    .requiredOption("--to <folder>", "new folder for the proofs")
    .option("--since <n>", "also prove that the log of n entries is the beginning of the present one")
    .action(async (wanted: string[], options: Options & { to: string; since?: string }) => {
      await withDesk(options.library, (desk) => prove(desk, wanted, options), "open");
    });
  add("check", "check a folder of proofs; no library is needed")
    .argument("<folder>", "what samescale custody prove has written")
    .option("--json", "one JSON object per line")
    .option("--key <sha256>", "the key that you trust, from elsewhere")
    .action(async (folder: string, options: JsonOption & { key?: string }) =>
      exit(await checkFolder(folder, options)),
    );
  json(add("stamp", "have the present head stamped by a time-stamping authority (RFC 3161)"))
    .option("--to <folder>", "write the query to a new folder, for any authority")
    .option("--ask", "ask the authority that the practice names (timeStamp)")
    .option("--query <file>", "the query that was answered, with --reply")
    .option("--reply <file>", "take the authority's reply in")
    .option("--practice <folder>", "whose practice names the authority (without: the library's own)")
    .action(async (options: Options & { to?: string; ask?: true; query?: string; reply?: string }) => {
      await withDesk(options.library, (desk) => stamp(desk, options), "open");
    });
  json(add("show", "what happened to a frame, from the card to each release"))
    .argument("<subject>", "frame/ID, or anything else that entries are about")
    .action(async (subject: string, options: Options) => {
      await withDesk(options.library, (desk) => show(desk, subject, options), "read");
    });
}
