import { BlockList, isIP } from "node:net";
import { SamescaleError } from "@samescale/errors";
import type { App } from "../deps.ts";

/**
 * Behind a proxy that does the TLS, whoever reaches the server past it is refused, and so is what reached the proxy
 * unencrypted.
 */
export function throughProxyOnly(app: App, proxies: readonly string[]): void {
  const known = addresses(proxies);
  app.addHook("onRequest", async (request) => {
    const from = (request.raw.socket.remoteAddress ?? "").replace(/^::ffff:/, "");
    const isKnown = isIP(from) !== 0 && known.check(from, isIP(from) === 6 ? "ipv6" : "ipv4");
    if (isKnown && request.protocol === "https") return;
    throw new SamescaleError(
      "NOT_THROUGH_PROXY",
      "This server is reached through its proxy, over TLS, alone",
      "Open the application under its own name, with https.",
    );
  });
}

/** Single addresses and networks (`10.0.0.0/8`). */
function addresses(list: readonly string[]): BlockList {
  const known = new BlockList();
  for (const one of list) {
    const [address = "", bits] = one.split("/");
    const family = isIP(address) === 6 ? "ipv6" : "ipv4";
    if (bits === undefined) known.addAddress(address, family);
    else known.addSubnet(address, Number(bits), family);
  }
  return known;
}
