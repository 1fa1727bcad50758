import type { QueryClient } from "@tanstack/react-query";

export type Connection = "open" | "lost";

const hearers = new Set<(topic: string) => void>();

/** Hears every topic as it comes: for what is pushed rather than asked for (bedside, jobs). @returns how to stop */
export function hear(topic: (topic: string) => void): () => void {
  hearers.add(topic);
  return () => hearers.delete(topic);
}

/**
 * Listens to what comes about at the server, for as long as the page is open. The browser connects again by itself and
 * names the last act that it heard of, so nothing is missed. What is not in the log is asked for anew after a gap.
 */
export function listen(client: QueryClient, onConnection: (state: Connection) => void): () => void {
  const source = new EventSource("/api/events");
  let wasLost = false;
  source.onopen = () => {
    onConnection("open");
    if (wasLost) void client.invalidateQueries();
    wasLost = false;
  };
  source.onerror = () => {
    wasLost = true;
    onConnection("lost");
  };
  source.onmessage = ({ data }) => {
    const topic = JSON.parse(data as string) as string;
    for (const tell of hearers) tell(topic);
    void client.invalidateQueries({
      predicate: ({ meta }) => (meta?.topics as readonly string[] | undefined)?.includes(topic) ?? false,
    });
  };
  return () => source.close();
}
