import type { FastifyReply, FastifyRequest } from "fastify";

/** Where the browser keeps the session's token: out of reach of scripts, never sent from other sites. */
export interface SessionCookie {
  read(request: FastifyRequest): string | null;
  set(reply: FastifyReply, token: string): void;
  clear(reply: FastifyReply): void;
}

/**
 * It ends with the browser, and before that when the library says so. Behind TLS its name begins with `__Host-`: the
 * browser then takes it from this host alone, and sends it encrypted alone. @source Rfc6265bis
 */
export function sessionCookie(isSecure: boolean): SessionCookie {
  const name = isSecure ? "__Host-samescale-session" : "samescale-session";
  const options = { path: "/", httpOnly: true, sameSite: "strict", secure: isSecure } as const;
  return {
    read: (request) => request.cookies[name] ?? null,
    set: (reply, token) => void reply.setCookie(name, token, options),
    clear: (reply) => void reply.clearCookie(name, options),
  };
}
