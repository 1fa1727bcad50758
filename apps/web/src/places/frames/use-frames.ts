import type { FoundFrames, FrameCard } from "@samescale/server";
import { type InfiniteData, useInfiniteQuery, useQueryClient } from "@tanstack/react-query";
import { useCallback, useMemo } from "react";
import { ask } from "../../api/client.ts";

const TOPICS = ["frame", "verdict", "reading", "measurement", "request", "visit", "access", "intake"];
type Pages = InfiniteData<FoundFrames, string | null>;

/** The frames that fit, page by page as they are wanted. */
export function useFrames(query: string) {
  const client = useQueryClient();
  const key = useMemo(() => ["/frames", query] as const, [query]);
  const answer = useInfiniteQuery({
    queryKey: key,
    queryFn: ({ pageParam, signal }) => {
      const after = pageParam === null ? "" : `&after=${pageParam}`;
      return ask<FoundFrames>("GET", `/frames?${query}${after}`, undefined, signal);
    },
    initialPageParam: null as string | null,
    getNextPageParam: ({ next }) => next,
    meta: { topics: TOPICS },
    placeholderData: (before) => before,
  });
  /** Shows at once what is being said of frames; the server's answer follows. */
  const foresee = useCallback(
    (ids: ReadonlySet<string>, change: Partial<FrameCard>) =>
      client.setQueryData<Pages>(
        key,
        (pages) =>
          pages && {
            ...pages,
            pages: pages.pages.map((page) => ({
              ...page,
              frames: page.frames.map((frame) => (ids.has(frame.frameId) ? { ...frame, ...change } : frame)),
            })),
          },
      ),
    [client, key],
  );
  return { answer, foresee };
}
