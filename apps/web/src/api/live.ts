import type { QueryClient } from "@tanstack/react-query";
import { askAnew } from "./ask-anew.ts";
import { ask } from "./client.ts";
import { signedInAgain } from "./session.ts";
import { touched } from "./touched.ts";

export type Connection = "open" | "lost";

/** After a refusal (signed out, too many at once) it is tried again after this time. */
const AGAIN_MS = 3000;
/** A page that nobody sees for this long listens no more: browsers allow few connections, and it catches up when seen. */
const HIDDEN_MS = 30_000;

/**
 * Listens to what comes about at the server, for as long as the page is seen. After a gap it names the last act that it
 * heard of, so nothing is missed; what is not in the log is asked for anew.
 */
export function listen(client: QueryClient, onConnection: (state: Connection) => void): () => void {
  let source: EventSource | null = null;
  let last = "";
  let isGap = false;
  let timer: ReturnType<typeof setTimeout> | undefined;

  const open = () => {
    clearTimeout(timer);
    source?.close();
    source = new EventSource(`/api/events${last === "" ? "" : `?since=${last}`}`);
    source.onopen = () => {
      onConnection("open");
      if (isGap) askAnew(client);
      isGap = false;
    };
    source.onerror = () => {
      isGap = true;
      // Closed: it was answered, with a refusal; the browser does not try again by itself.
      if (source?.readyState === EventSource.CLOSED) void refused();
      else onConnection("lost");
    };
    source.onmessage = ({ data, lastEventId }) => {
      if (lastEventId !== "") last = lastEventId;
      tell(JSON.parse(data as string) as string);
    };
  };
  const refused = async () => {
    const me = await ask("GET", "/people/me").catch(() => undefined);
    if (me === undefined) onConnection("lost");
    if (me === null) await signedInAgain();
    clearTimeout(timer);
    timer = setTimeout(open, me === null ? 0 : AGAIN_MS);
  };
  const tell = (topic: string) => {
    // Whoever photographs has no hand free for the page: a frame that comes is what they did.
    if (topic.startsWith("bedside/") && location.pathname.startsWith("/bedside")) touched();
    askAnew(client, ({ meta }) => (meta?.topics as readonly string[] | undefined)?.includes(topic) ?? false);
  };
  const seen = () => {
    clearTimeout(timer);
    if (document.visibilityState === "hidden") {
      timer = setTimeout(() => {
        source?.close();
        source = null;
        isGap = true;
      }, HIDDEN_MS);
    } else if (source === null || source.readyState === EventSource.CLOSED) open();
  };
  document.addEventListener("visibilitychange", seen);
  open();
  return () => {
    document.removeEventListener("visibilitychange", seen);
    clearTimeout(timer);
    source?.close();
  };
}
