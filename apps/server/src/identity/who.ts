import { createHash, timingSafeEqual } from "node:crypto";
import { type Actor, hasAccounts, type Role } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import type { FastifyRequest } from "fastify";
import type { App, Deps } from "../deps.ts";
import type { SessionCookie } from "./session-cookie.ts";

declare module "fastify" {
  interface FastifyRequest {
    actor: Actor | null;
  }
  interface FastifyContextConfig {
    /** Who may call it at all. The desk decides on the thing itself. Every route has this or `open`. */
    may?: readonly Role[];
    /** For anybody, signed in or not. */
    open?: true;
    /** Also for a program that brings the server's own token (metrics). */
    orToken?: true;
  }
}

/** Who asks. @throws SamescaleError SIGN_IN_NEEDED */
export function who(request: FastifyRequest): Actor {
  if (request.actor) return request.actor;
  throw signInNeeded();
}

const signInNeeded = () =>
  new SamescaleError("SIGN_IN_NEEDED", "Nobody is signed in here", "Sign in; what you were doing is kept.");

export interface Identity {
  readonly cookie: SessionCookie;
  /** What a program brings that fetches the metrics; null: none may. */
  readonly token: string | null;
}

/**
 * Every route below `/api` says in its configuration who may call it; one that does not is no route. Who asks is found
 * before anything else of the request is read.
 */
export function askWho(
  app: App,
  { desk, door, personHere }: Pick<Deps, "desk" | "door" | "personHere">,
  { cookie, token }: Identity,
): void {
  app.addHook("onRoute", ({ url, method, config }) => {
    if (method === "HEAD" || method === "OPTIONS") return;
    if (config?.open === undefined && config?.may === undefined) {
      throw new Error(`The route ${String(method)} ${url} does not say who may call it`);
    }
  });
  app.addHook("onRequest", async (request, reply) => {
    const { may, open, orToken } = request.routeOptions.config;
    if (orToken && token !== null && isBearer(request.headers.authorization, token)) return;
    const kept = cookie.read(request);
    request.actor = kept === null ? null : await door.sessionOf(kept, untouchedS(request));
    if (request.actor === null && !(await hasAccounts(desk.library.read))) request.actor = await personHere();
    if (request.actor !== null && request.headers.accept !== "text/event-stream") {
      const renewed = await door.renew(request.actor);
      if (renewed !== null) cookie.set(reply, renewed);
    }
    if (open) return;
    if (request.actor === null) throw signInNeeded();
    if (may && !may.includes(request.actor.role)) {
      throw new SamescaleError(
        "ROLE_NOT_ALLOWED",
        `This is not for the role ${request.actor.role}`,
        `It is for: ${may.join(", ")}.`,
      );
    }
  });
}

/** How long ago the page was touched, as it says; who does not say has just touched it. */
function untouchedS(request: FastifyRequest): number {
  const said = Number(request.headers["x-samescale-untouched"] ?? 0);
  return Number.isFinite(said) && said > 0 ? said : 0;
}

/** In the same time, whatever it is. */
function isBearer(header: string | undefined, token: string): boolean {
  const hash = (text: string) => createHash("sha256").update(text).digest();
  return timingSafeEqual(hash(header ?? ""), hash(`Bearer ${token}`));
}
