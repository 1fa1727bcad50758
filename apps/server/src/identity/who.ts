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
  }
}

/** Who asks. @throws SamescaleError SIGN_IN_NEEDED */
export function who(request: FastifyRequest): Actor {
  if (request.actor) return request.actor;
  throw signInNeeded();
}

const signInNeeded = () =>
  new SamescaleError("SIGN_IN_NEEDED", "Nobody is signed in here", "Sign in; what you were doing is kept.");

/**
 * Every route below `/api` says in its configuration who may call it; one that does not is no route. Who asks is found
 * before anything else of the request is read.
 */
export function askWho(
  app: App,
  { desk, door, personHere }: Pick<Deps, "desk" | "door" | "personHere">,
  cookie: SessionCookie,
): void {
  app.decorateRequest("actor", null);
  app.addHook("onRoute", ({ url, method, config }) => {
    if (method === "HEAD" || method === "OPTIONS") return;
    if (config?.open === undefined && config?.may === undefined) {
      throw new Error(`The route ${String(method)} ${url} does not say who may call it`);
    }
  });
  app.addHook("onRequest", async (request) => {
    const { may, open } = request.routeOptions.config;
    const token = cookie.read(request);
    request.actor = token ? await door.sessionOf(token) : null;
    if (request.actor === null && !(await hasAccounts(desk.library.read))) request.actor = await personHere();
    if (open || may === undefined) return;
    if (request.actor === null) throw signInNeeded();
    if (!may.includes(request.actor.role)) {
      throw new SamescaleError(
        "ROLE_NOT_ALLOWED",
        `This is not for the role ${request.actor.role}`,
        `It is for: ${may.join(", ")}.`,
      );
    }
  });
}
