import { SamescaleError } from "@samescale/errors";
import type { App } from "../deps.ts";

/**
 * A request that names another host is refused, so that a page elsewhere cannot reach in through a name it controls
 * (DNS rebinding).
 */
export function ownHostOnly(app: App, hosts: readonly string[]): void {
  app.addHook("onRequest", async (request) => {
    const host = (request.host ?? "").toLowerCase().replace(/:\d+$/, "");
    if (hosts.includes(host)) return;
    throw new SamescaleError(
      "HOST_NOT_SERVED",
      "This address is not served here",
      `Open the application under: ${hosts.join(", ")}.`,
    );
  });
}
