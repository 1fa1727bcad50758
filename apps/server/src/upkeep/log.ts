import { randomUUID } from "node:crypto";
import { type FastifyServerOptions, LogController } from "fastify";
import type { App } from "../deps.ts";

export const LOG_LEVELS = ["silent", "error", "warn", "info"] as const;
export type LogLevel = (typeof LOG_LEVELS)[number];

/** Every request has a name of its own: it stands in the log, and in the answer for whoever reports a fault. */
export const REQUEST_ID = "x-request-id";

/**
 * The log of requests: JSON lines on standard error. No address as it was asked (it may hold what somebody typed), no
 * body, no cookie, no name: the route, who by their account's id, how it ended, how long it took.
 */
export function logOptions(level: LogLevel): FastifyServerOptions {
  return {
    // Names from outside would let anybody write into the log.
    requestIdHeader: false,
    genReqId: () => randomUUID(),
    logController: new LogController({ disableRequestLogging: true }),
    logger:
      level === "silent"
        ? false
        : {
            level,
            base: null,
            timestamp: () => `,"time":"${new Date().toISOString()}"`,
            formatters: { level: (label) => ({ level: label }) },
            // What is logged by others of a request or an answer: nothing of it.
            serializers: { req: () => ({}), res: () => ({ statusCode: 0 }), err: faultOf },
            stream: process.stderr,
          },
  };
}

/** Of a fault its kind and where in the program; its message may hold what somebody typed. */
function faultOf(fault: Error): { type: string; message: string; stack: string } {
  const code = (fault as { code?: unknown }).code;
  const at = fault.stack?.split("\n").filter((line) => line.trimStart().startsWith("at ")) ?? [];
  return {
    type: fault.name,
    message: typeof code === "string" ? code : "",
    stack: at.map((line) => line.trim()).join(" < "),
  };
}

/** One line for each answer. */
export function logAnswers(app: App): void {
  app.addHook("onSend", async (request, reply) => {
    reply.header(REQUEST_ID, request.id);
  });
  app.addHook("onResponse", async (request, reply) => {
    const status = reply.statusCode;
    const line = {
      request: request.id,
      route: routeOf(request),
      status,
      ms: Math.round(reply.elapsedTime),
      from: request.ip,
      person: request.actor?.personId ?? null,
    };
    if (status >= 500) request.log.error(line, "answered");
    else if (status === 401 || status === 403 || status === 421 || status === 429) {
      request.log.warn(line, "refused");
    } else request.log.info(line, "answered");
  });
}

/** The route's template, never what stood in its place. */
export const routeOf = (request: { method: string; routeOptions: { url?: string | undefined } }): string =>
  `${request.method} ${request.routeOptions.url ?? "(not served)"}`;
