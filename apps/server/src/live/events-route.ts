import { ROLES } from "@samescale/desk";
import type { App } from "../deps.ts";
import type { Live } from "./follow-log.ts";

/** Proxies cut what is silent for a minute. */
const HEARTBEAT_MS = 20_000;

/**
 * `GET /api/events`: server-sent events. `id` is the number of the entry in the custody log, so that a browser that was
 * cut off is told what it missed (`Last-Event-ID`). @source HtmlServerSentEvents
 */
export function eventsRoute(app: App, live: Live): void {
  const open = new Set<() => void>();
  app.addHook("preClose", async () => {
    for (const end of open) end();
  });
  app.get("/events", { config: { may: ROLES }, schema: { hide: true } }, async (request, reply) => {
    const named = Number(request.headers["last-event-id"] ?? Number.NaN);
    const since = Number.isSafeInteger(named) && named >= 0 ? named : null;
    reply.hijack();
    const { raw } = reply;
    raw.writeHead(200, {
      ...(reply.getHeaders() as Record<string, string>),
      "content-type": "text/event-stream",
      "cache-control": "no-store",
      "x-accel-buffering": "no",
    });
    raw.write("retry: 2000\n\n");
    const stop = await live.listen(since, ({ entry, topic }) => {
      raw.write(`${entry === null ? "" : `id: ${entry}\n`}data: ${JSON.stringify(topic)}\n\n`);
    });
    const heartbeat = setInterval(() => raw.write(": still here\n\n"), HEARTBEAT_MS);
    const end = () => {
      clearInterval(heartbeat);
      stop();
      open.delete(end);
      raw.end();
    };
    open.add(end);
    request.raw.once("close", end);
  });
}
