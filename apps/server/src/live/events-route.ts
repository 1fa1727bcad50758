import type { ServerResponse } from "node:http";
import { type Door, ROLES } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { z } from "zod";
import type { App } from "../deps.ts";
import { who } from "../identity/who.ts";
import type { Live } from "./follow-log.ts";

/** Proxies cut what is silent for a minute. */
const HEARTBEAT_MS = 20_000;
/** Pages that one person has open at once, in all browsers. */
const MOST_OF_ONE = 20;
/** A page that reads no more (a tablet that sleeps) is cut off here; it catches up when it is back. */
const MOST_UNREAD_BYTES = 256_000;
/** After these somebody may not be who they were. */
const STANDING = new Set(["session", "account", "everything"]);

const entry = z.coerce.number().int().nonnegative();

/** Streams that are open now. */
export interface OpenStreams {
  count(): number;
}

/**
 * `GET /api/events`: server-sent events. `id` is the number of the entry in the custody log, so that a browser that was
 * cut off is told what it missed (`Last-Event-ID`, or `since` where the page connects anew). A stream ends with the
 * session that it was opened in. @source HtmlServerSentEvents
 */
export function eventsRoute(app: App, live: Live, door: Door): OpenStreams {
  const open = new Set<() => void>();
  const ofPerson = new Map<string, number>();
  app.addHook("preClose", async () => {
    for (const end of open) end();
  });

  const schema = { hide: true, querystring: z.object({ since: entry.optional() }) };
  app.get("/events", { config: { may: ROLES }, schema }, async (request, reply) => {
    const actor = who(request);
    const person = actor.personId ?? actor.name;
    const others = ofPerson.get(person) ?? 0;
    if (others >= MOST_OF_ONE) {
      throw new SamescaleError("TOO_MANY", `You have ${others} pages open`, "Close some of them.");
    }
    ofPerson.set(person, others + 1);
    const named = entry.safeParse(request.headers["last-event-id"]);
    const since = named.success ? named.data : (request.query.since ?? null);

    reply.hijack();
    const { raw } = reply;
    let stop: () => unknown = () => null;
    const end = () => {
      if (!open.delete(end)) return;
      clearInterval(heartbeat);
      stop();
      ofPerson.set(person, (ofPerson.get(person) ?? 1) - 1);
      if (ofPerson.get(person) === 0) ofPerson.delete(person);
      raw.end();
    };
    const check = async () => {
      if (!(await door.isStill(actor).catch(() => false))) end();
    };
    const heartbeat = setInterval(() => {
      write(raw, ": still here\n\n", end);
      void check();
    }, HEARTBEAT_MS);
    open.add(end);
    raw.once("close", end);
    raw.on("error", end);

    raw.writeHead(200, {
      ...(reply.getHeaders() as Record<string, string>),
      "content-type": "text/event-stream",
      "content-security-policy": "default-src 'none'; frame-ancestors 'none'",
      "cache-control": "no-store",
      "x-accel-buffering": "no",
    });
    write(raw, "retry: 2000\n\n", end);
    try {
      const listening = await live.listen(since, ({ entry: id, topic }) => {
        write(raw, `${id === null ? "" : `id: ${id}\n`}data: ${JSON.stringify(topic)}\n\n`, end);
        if (STANDING.has(topic)) void check();
      });
      // It may have been closed while what was missed was read.
      if (open.has(end)) stop = listening;
      else listening();
    } catch {
      end();
    }
    return reply;
  });
  return { count: () => open.size };
}

/** What cannot be sent is kept in memory: a page that does not read is cut off before that grows. */
function write(raw: ServerResponse, text: string, end: () => void): void {
  if (raw.writableEnded || raw.destroyed) return;
  raw.write(text);
  if (raw.writableLength > MOST_UNREAD_BYTES) {
    end();
    raw.destroy();
  }
}
