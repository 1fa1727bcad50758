import cookie from "@fastify/cookie";
import rateLimit from "@fastify/rate-limit";
import swagger from "@fastify/swagger";
import { SamescaleError } from "@samescale/errors";
import fastify, { type FastifyServerOptions } from "fastify";
import { jsonSchemaTransform, serializerCompiler, validatorCompiler } from "fastify-type-provider-zod";
import { answerErrors } from "./answer-errors.ts";
import type { App, Deps } from "./deps.ts";
import { safeHeaders } from "./guard/headers.ts";
import { ownHostOnly } from "./guard/own-host.ts";
import { ownPagesOnly } from "./guard/same-site.ts";
import { sessionCookie } from "./identity/session-cookie.ts";
import { askWho } from "./identity/who.ts";
import { openJobs } from "./jobs/jobs.ts";
import { jobRoutes } from "./jobs/routes.ts";
import { eventsRoute } from "./live/events-route.ts";
import { followLog } from "./live/follow-log.ts";
import { areas } from "./routes/index.ts";
import { webFiles } from "./web-files.ts";

export interface ServerSettings {
  /** Names under which it may be asked. */
  readonly hosts: readonly string[];
  /** Behind TLS, its own or a proxy's: cookies are marked for it and browsers are told to stay with it. */
  readonly isSecure: boolean;
  /** Requests of one address in a minute. */
  readonly requestsPerMinute: number;
  readonly options: FastifyServerOptions;
}

export const LOOPBACK_SETTINGS: ServerSettings = {
  hosts: ["127.0.0.1", "localhost", "[::1]"],
  isSecure: false,
  requestsPerMinute: 6000,
  options: { logger: false },
};

/** A form's worth; what is larger (a dropped file) has a route with a limit of its own. */
const BODY_LIMIT_BYTES = 1_000_000;

/** The application over a library, as a function: tests inject requests without a socket. */
export async function buildApp(deps: Deps, settings: ServerSettings = LOOPBACK_SETTINGS): Promise<App> {
  const app = fastify({ bodyLimit: BODY_LIMIT_BYTES, trustProxy: false, ...settings.options }) as App;
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  answerErrors(app);
  await safeHeaders(app, settings.isSecure);
  ownHostOnly(app, settings.hosts);
  ownPagesOnly(app);
  await app.register(cookie);
  await app.register(rateLimit, { max: settings.requestsPerMinute, timeWindow: "1 minute" });
  await app.register(swagger, {
    openapi: {
      info: {
        title: "Samescale",
        description: "Every route asks the desk; every act is in the custody log.",
        version: "0.1.0",
      },
    },
    transform: jsonSchemaTransform,
  });

  const ownCookie = sessionCookie(settings.isSecure);
  const live = await followLog(deps.desk);
  const jobs = openJobs(() => deps.desk.library.clock(), live.tell);
  app.addHook("onClose", async () => {
    await jobs.close();
    live.close();
  });

  await app.register(
    async (api) => {
      const routes = api as App;
      askWho(routes, deps, ownCookie);
      // What was just done is told before the page that did it hears back.
      routes.addHook("onSend", async (request) => {
        if (request.method !== "GET") await live.look();
      });
      eventsRoute(routes, live);
      jobRoutes(routes, jobs);
      routes.get("/", { config: { open: true }, schema: { hide: true } }, async () => app.swagger());
      for (const area of areas) area(routes, { ...deps, jobs, tell: live.tell, cookie: ownCookie });
    },
    { prefix: "/api" },
  );
  if (deps.webFolder !== null) await webFiles(app, deps.webFolder);
  app.setNotFoundHandler(async (request) => {
    const path = request.url.split("?", 1)[0] ?? "";
    throw new SamescaleError(
      "NO_SUCH_PAGE",
      `There is nothing at ${path.length > 80 ? `${path.slice(0, 80)}…` : path}`,
      "Check the address; the application begins at /.",
    );
  });
  return app;
}
