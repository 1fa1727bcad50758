import type { Server } from "node:https";
import type { AddressInfo } from "node:net";
import { userInfo } from "node:os";
import { resolve } from "node:path";
import { actorOfThisMachine, type Desk, openDoor } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { PicturePool } from "@samescale/picture";
import { buildApp, type ServerSettings } from "@samescale/server";
import { buildWeb } from "@samescale/web/build";
import { isDemonstration } from "../demo/demo-folder.ts";
import type { StartOver } from "../demo/remove-demo.ts";
import { practiceInUse } from "../frame/practice-in-use.ts";
import type { ServeOptions } from "./serve-options.ts";
import { settingsFor, tlsOf } from "./server-settings.ts";

/** Requests that have not ended by then are cut off; what they were writing is whole or not there at all. */
const ENDED_WITHIN_MS = 30_000;
const CLOSED_EVERY_MS = 200;

/** Why serving ended. */
export interface ServingEnded {
  readonly port: number;
  /** From the page somebody asked for the demonstration to be removed; null: interrupted. */
  readonly startOver: StartOver | null;
}

/**
 * Serves the application over a library, says where in one line on standard output, and goes on until interrupted
 * (Ctrl-C, SIGTERM), or until the demonstration in it is to be removed. What is running then ends first.
 */
export async function serveLibrary(
  desk: Desk,
  pool: PicturePool,
  options: ServeOptions,
): Promise<ServingEnded> {
  const { folder } = desk.library;
  const settings = await settingsFor(desk, options);
  const inUse = () => practiceInUse({ library: folder });
  const ended = Promise.withResolvers<StartOver | null>();
  const interrupt = () => ended.resolve(null);
  const app = await buildApp(
    {
      desk,
      pool,
      door: openDoor(desk),
      personHere: () => actorOfThisMachine(desk, userInfo().username),
      practice: async () => (await inUse()).practice,
      practiceFolder: async () => (await inUse()).folder,
      webFolder: await buildWeb(),
      isDemonstration: isDemonstration(folder),
      ...(isDemonstration(folder) && { startOver: (wanted) => setImmediate(() => ended.resolve(wanted)) }),
      // Beside the library: a card is never taken in from inside it.
      dropFolder: `${resolve(folder)}-dropped`,
      cardFolders: options.cardFolder ?? [],
    },
    settings,
  );
  process.once("SIGINT", interrupt);
  process.once("SIGTERM", interrupt);
  const renew = () => void newCertificate(app.server as unknown as Server, options);
  if (settings.https) process.on("SIGHUP", renew);
  const host = options.host ?? "127.0.0.1";
  try {
    await app.listen({ host, port: options.port });
  } catch (thrown) {
    await app.close();
    throw asListenFault(thrown, host, options.port);
  }
  const { port } = app.server.address() as AddressInfo;
  process.stdout.write(`Open ${addressOf(settings, options, port)}\n`);
  const startOver = await ended.promise;
  process.off("SIGINT", interrupt);
  process.off("SIGTERM", interrupt);
  process.off("SIGHUP", renew);
  const cut = setTimeout(() => app.server.closeAllConnections(), ENDED_WITHIN_MS);
  // A browser keeps its connection after the last answer, and would be waited for.
  const closeIdle = setInterval(() => app.server.closeIdleConnections(), CLOSED_EVERY_MS);
  await app.close();
  clearInterval(closeIdle);
  clearTimeout(cut);
  return { port, startOver };
}

/** Where people open it. Behind a proxy the port is the proxy's own affair. */
function addressOf(
  { isSecure, proxies }: ServerSettings,
  { host, name }: ServeOptions,
  port: number,
): string {
  const [own] = name ?? [];
  if (proxies !== null) return `https://${own}/ (by the proxy, from port ${port} here)`;
  const shown = own ?? (host === "::1" ? "[::1]" : (host ?? "127.0.0.1"));
  return `${isSecure ? "https" : "http"}://${shown}${isSecure && port === 443 ? "" : `:${port}`}/`;
}

/** On SIGHUP: certificates are renewed every few weeks, and nobody is to be cut off for it. */
async function newCertificate(server: Server, options: ServeOptions): Promise<void> {
  try {
    const tls = await tlsOf(options);
    if (tls !== null) server.setSecureContext({ ...tls, minVersion: "TLSv1.2" });
    process.stderr.write("samescale: the certificate was read anew\n");
  } catch (thrown) {
    // The old one goes on.
    process.stderr.write(`samescale: the certificate was not read anew: ${(thrown as Error).message}\n`);
  }
}

function asListenFault(thrown: unknown, host: string, port: number): unknown {
  const { code } = thrown as NodeJS.ErrnoException;
  if (code === "EADDRINUSE") {
    return new SamescaleError(
      "PORT_IN_USE",
      `Port ${port} is in use by another program`,
      "Choose another with --port, or --port 0 for any free one.",
    );
  }
  if (code !== "EACCES" && code !== "EADDRNOTAVAIL") return thrown;
  return new SamescaleError(
    "PORT_REFUSED",
    `This machine does not let us listen at ${host}, port ${port}`,
    "Choose a port above 1023 and an address of this machine; docs/server.md says how to have port 443.",
  );
}
