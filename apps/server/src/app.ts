import cookie from "@fastify/cookie";
import rateLimit from "@fastify/rate-limit";
import swagger from "@fastify/swagger";
import { SamescaleError } from "@samescale/errors";
import fastify, { type FastifyServerOptions, type RouteOptions } from "fastify";
import { jsonSchemaTransform, serializerCompiler, validatorCompiler } from "fastify-type-provider-zod";
import { answerBadAddress, answerErrors } from "./answer-errors.ts";
import type { App, Deps } from "./deps.ts";
import { safeHeaders } from "./guard/headers.ts";
import { ownHostOnly } from "./guard/own-host.ts";
import { ownPagesOnly } from "./guard/same-site.ts";
import { throughProxyOnly } from "./guard/through-proxy.ts";
import { sessionCookie } from "./identity/session-cookie.ts";
import { askWho } from "./identity/who.ts";
import { openJobs } from "./jobs/jobs.ts";
import { jobRoutes } from "./jobs/routes.ts";
import { eventsRoute, type OpenStreams } from "./live/events-route.ts";
import { followLog } from "./live/follow-log.ts";
import { reporter } from "./reports.ts";
import { areas } from "./routes/index.ts";
import { type LogLevel, logAnswers, logOptions } from "./upkeep/log.ts";
import { countAnswers } from "./upkeep/metrics.ts";
import { healthRoute, metricsRoute } from "./upkeep/routes.ts";
import { webFiles } from "./web-files.ts";

export interface ServerSettings {
  /** Names under which it may be asked. */
  readonly hosts: readonly string[];
  /** Behind TLS, its own or a proxy's: cookies are marked for it and browsers are told to stay with it. */
  readonly isSecure: boolean;
  /** Addresses of the proxies that requests come through, and nobody else's; null: they come directly. */
  readonly proxies: readonly string[] | null;
  /** Requests of one address in a minute. */
  readonly requestsPerMinute: number;
  readonly log: LogLevel;
  /** What a program brings that fetches the metrics; null: only people do. */
  readonly metricsToken: string | null;
  /** Of its own TLS; left out: none. */
  readonly https?: { readonly cert: string; readonly key: string };
  /** Told of every route as it is added: a test holds each of them against the rules. */
  readonly onRoute?: (route: RouteOptions) => void;
}

export const LOOPBACK_SETTINGS: ServerSettings = {
  hosts: ["127.0.0.1", "localhost", "[::1]"],
  isSecure: false,
  proxies: null,
  requestsPerMinute: 6000,
  log: "silent",
  metricsToken: null,
};

/** A form's worth; what is larger (a dropped file) has a route with a limit of its own. */
const BODY_LIMIT_BYTES = 1_000_000;

/** The application over a library, as a function: tests inject requests without a socket. */
export async function buildApp(deps: Deps, settings: ServerSettings = LOOPBACK_SETTINGS): Promise<App> {
  const { proxies, https } = settings;
  const app = fastify({
    ...logOptions(settings.log),
    bodyLimit: BODY_LIMIT_BYTES,
    trustProxy: proxies === null ? false : [...proxies],
    frameworkErrors: answerBadAddress,
    ...(https && { https: { ...https, minVersion: "TLSv1.2" } }),
  } as FastifyServerOptions) as App;
  if (settings.onRoute) app.addHook("onRoute", settings.onRoute);
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
  // Forms come as JSON; nothing else is read but what a route asks for.
  app.removeContentTypeParser("text/plain");
  app.decorateRequest("actor", null);
  const report = reporter([deps.desk.library.folder, deps.dropFolder], app.log);
  answerErrors(app, report);
  logAnswers(app);
  const metrics = countAnswers(app, {
    streams: () => streams?.count() ?? 0,
    jobsRunning: () => jobs.running(),
  });
  await safeHeaders(app, settings.isSecure);
  if (proxies !== null) throughProxyOnly(app, proxies);
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
  const jobs = openJobs(() => deps.desk.library.clock(), live.tell, report);
  let streams: OpenStreams | null = null;
  // Before requests are waited for: who waits for a job would wait for ever.
  app.addHook("preClose", async () => {
    await jobs.close();
    live.close();
  });

  healthRoute(app, deps);
  await app.register(
    async (api) => {
      const routes = api as App;
      askWho(routes, deps, { cookie: ownCookie, token: settings.metricsToken });
      // What was just done is told before the page that did it hears back.
      routes.addHook("onSend", async (request) => {
        if (request.method !== "GET") await live.look();
      });
      streams = eventsRoute(routes, live, deps.door);
      metricsRoute(routes, metrics);
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
