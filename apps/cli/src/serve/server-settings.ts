import { createPrivateKey, X509Certificate } from "node:crypto";
import { readFile } from "node:fs/promises";
import { type Desk, hasAccounts } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { LOOPBACK_SETTINGS, type ServerSettings } from "@samescale/server";
import { CommandFailure } from "../frame/failure.ts";
import { privateFile } from "../frame/private-file.ts";
import type { ServeOptions } from "./serve-options.ts";

const LOOPBACK = new Set(["127.0.0.1", "::1"]);
/** Others than the owner may read a key through a group of their own, as some systems keep them; the world may not. */
const NOT_FOR_THE_WORLD = 0o007;
const LEAST_TOKEN = 20;

/**
 * What the options ask for, or why it is not served: pictures of patients are shown beyond this machine only to people who
 * signed in, and only encrypted.
 * @throws SamescaleError SERVE_NEEDS_ACCOUNTS, SERVE_NEEDS_TLS, SERVE_NEEDS_NAME, TLS_FILES
 */
export async function settingsFor(desk: Desk, options: ServeOptions): Promise<ServerSettings> {
  const { host = "127.0.0.1", name = [], behindProxy = null } = options;
  const https = await tlsOf(options);
  const isBeyond = !LOOPBACK.has(host) || behindProxy !== null;
  if (isBeyond) await mustBeSafe(desk, options, https !== null);
  return {
    ...LOOPBACK_SETTINGS,
    hosts: [...(isBeyond ? [] : LOOPBACK_SETTINGS.hosts), ...name.map((one) => one.toLowerCase())],
    isSecure: https !== null || behindProxy !== null,
    proxies: behindProxy,
    log: options.log ?? (isBeyond ? "info" : "warn"),
    metricsToken: await tokenOf(options),
    ...(https && { https }),
  };
}

async function mustBeSafe(desk: Desk, { name = [], behindProxy }: ServeOptions, hasTls: boolean) {
  if (!(await hasAccounts(desk.library.read))) {
    throw new SamescaleError(
      "SERVE_NEEDS_ACCOUNTS",
      "Beyond this machine nobody sees pictures without signing in, and this library has no accounts",
      'Make the first one: samescale people first LOGIN --name "…" --library LIBRARY.',
    );
  }
  if (!hasTls && behindProxy === undefined) {
    throw new SamescaleError(
      "SERVE_NEEDS_TLS",
      "Beyond this machine pictures and passwords travel encrypted alone",
      "Name --tls-certificate and --tls-key, or --behind-proxy with the address of the proxy that does it.",
    );
  }
  if (name.length === 0) {
    throw new SamescaleError(
      "SERVE_NEEDS_NAME",
      "The name under which people open the application was not said",
      "Name it as it stands in the certificate: --name photos.hospital.example.",
    );
  }
}

/** Certificate and key, that are there and belong together; null: neither was named. */
export async function tlsOf(options: ServeOptions): Promise<{ cert: string; key: string } | null> {
  const { tlsCertificate, tlsKey, behindProxy } = options;
  if (tlsCertificate === undefined && tlsKey === undefined) return null;
  if (tlsCertificate === undefined || tlsKey === undefined || behindProxy !== undefined) {
    throw CommandFailure.badArguments(
      "Expected --tls-certificate and --tls-key together, or --behind-proxy",
      "The certificate and its key for TLS of its own; the proxy's address where the proxy does it.",
    );
  }
  const cert = await readFile(tlsCertificate, "utf8").catch((thrown) => {
    throw CommandFailure.from(thrown, tlsCertificate);
  });
  const key = (await privateFile(tlsKey, NOT_FOR_THE_WORLD)).toString("utf8");
  const fault = tlsFault(cert, key);
  if (fault === null) return { cert, key };
  throw new SamescaleError(
    "TLS_FILES",
    `${tlsCertificate} and ${tlsKey}: ${fault}`,
    "Name a certificate that is valid, as PEM, and the key that it was made for.",
  );
}

function tlsFault(cert: string, key: string): string | null {
  let certificate: X509Certificate;
  try {
    certificate = new X509Certificate(cert);
  } catch {
    return "the certificate cannot be read";
  }
  try {
    if (!certificate.checkPrivateKey(createPrivateKey(key))) return "the key belongs to another certificate";
  } catch {
    return "the key cannot be read";
  }
  const until = certificate.validToDate;
  return until.getTime() > Date.now()
    ? null
    : `the certificate was over on ${until.toISOString().slice(0, 10)}`;
}

async function tokenOf({ metricsToken }: ServeOptions): Promise<string | null> {
  if (metricsToken === undefined) return null;
  const [line = ""] = (await privateFile(metricsToken)).toString("utf8").split(/\r?\n/);
  if (line.trim().length >= LEAST_TOKEN) return line.trim();
  throw CommandFailure.badArguments(
    `${metricsToken}: expected ${LEAST_TOKEN} characters or more in its first line`,
    `Make one: (umask 077; openssl rand -hex 32 > ${metricsToken})`,
  );
}
