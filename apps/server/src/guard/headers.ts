import helmet from "@fastify/helmet";
import type { App } from "../deps.ts";

/**
 * Nothing from elsewhere, no script in the page but those of these hashes, no style but of this answer's nonce, in no other
 * page's frame. @source Csp3
 */
export const contentSecurityPolicy = (nonce: string, scriptHashes: readonly string[]): string =>
  [
    "default-src 'none'",
    ["script-src 'self'", ...scriptHashes.map((hash) => `'${hash}'`)].join(" "),
    `style-src 'self' 'nonce-${nonce}'`,
    "img-src 'self' blob: data:",
    "font-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "frame-ancestors 'none'",
    "base-uri 'none'",
    "form-action 'self'",
  ].join("; ");

/** Headers of every answer. Patient pictures stay out of the browser's cache on disk. */
export async function safeHeaders(app: App, isSecure: boolean): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: false,
    hsts: isSecure ? { maxAge: 31_536_000 } : false,
    referrerPolicy: { policy: "no-referrer" },
    crossOriginResourcePolicy: { policy: "same-origin" },
    crossOriginOpenerPolicy: { policy: "same-origin" },
    xFrameOptions: { action: "deny" },
  });
  app.addHook("onSend", async (_request, reply) => {
    if (!reply.hasHeader("content-security-policy")) {
      reply.header("content-security-policy", "default-src 'none'; frame-ancestors 'none'");
    }
    if (!reply.hasHeader("cache-control")) reply.header("cache-control", "no-store");
    reply.header("permissions-policy", "camera=(), microphone=(), geolocation=(), screen-wake-lock=(self)");
  });
}
