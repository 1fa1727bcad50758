import { isIP } from "node:net";
import { LOG_LEVELS, type LogLevel } from "@samescale/server";
import type { Command } from "commander";
import { CommandFailure } from "../frame/failure.ts";
import { libraryOption, oneOf, portOption } from "../frame/options.ts";

/** How a library is served. */
export interface ServeOptions {
  readonly port: number;
  /** Address to listen at; left out: this machine only. */
  readonly host?: string;
  /** Names under which people open it. */
  readonly name?: readonly string[];
  readonly tlsCertificate?: string;
  readonly tlsKey?: string;
  /** Addresses of the proxies that do the TLS. */
  readonly behindProxy?: readonly string[];
  readonly metricsToken?: string;
  readonly log?: LogLevel;
  readonly cardFolder?: readonly string[];
}

export function serveOptions(command: Command): Command {
  libraryOption(command);
  return portOption(command)
    .option("--host <address>", "address to listen at (default: 127.0.0.1, this machine only)", address)
    .option("--name <name...>", "name under which people open it, such as photos.hospital.example")
    .option("--tls-certificate <file>", "certificate with its chain (PEM)")
    .option("--tls-key <file>", "its private key (PEM), which nobody else may read")
    .option("--behind-proxy <address...>", "addresses or networks of the proxies that do the TLS", network)
    .option("--metrics-token <file>", "file whose first line lets a program read /api/metrics")
    .option("--log <level>", `${LOG_LEVELS.join(", ")} (default: warn; beyond this machine info)`, level)
    .option(
      "--card-folder <folder...>",
      "where cards may lie that are taken in at this machine once there are accounts (docs/intake.md)",
    )
    .addHelpText(
      "after",
      `
On this machine only unless --host says otherwise; then there must be accounts and TLS (docs/server.md).
Ctrl-C ends it when what is running has ended; twice ends it at once.`,
    );
}

const level = oneOf("--log", LOG_LEVELS);

function address(text: string): string {
  if (isIP(text) !== 0) return text;
  throw CommandFailure.badArguments(
    `--host: expected an address, received "${text}"`,
    "Type for example --host 0.0.0.0 for every address of this machine, or one of them.",
  );
}

function network(text: string, before: readonly string[] | undefined): readonly string[] {
  const [ip = "", bits = "0", ...more] = text.split("/");
  const most = isIP(ip) === 6 ? 128 : 32;
  if (isIP(ip) !== 0 && more.length === 0 && /^\d{1,3}$/.test(bits) && Number(bits) <= most) {
    return [...(before ?? []), text];
  }
  throw CommandFailure.badArguments(
    `--behind-proxy: expected an address or a network, received "${text}"`,
    "Type for example --behind-proxy 10.0.0.5, or --behind-proxy 10.0.0.0/28.",
  );
}
