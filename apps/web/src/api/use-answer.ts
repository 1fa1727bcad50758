import { type UseQueryResult, useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { notify } from "../shell/notices.ts";
import { askAnew } from "./ask-anew.ts";
import { ask, reportFrom } from "./client.ts";

/**
 * What the server answers at a path, kept, and asked for anew when something of the named topics came about (the kinds
 * of acts of the custody log: `request`, `frame`, `consent` …). @param path null: not yet
 */
export function useAnswer<Answer>(
  path: string | null,
  topics: readonly string[] = [],
): UseQueryResult<Answer, unknown> {
  const client = useQueryClient();
  const question = {
    queryKey: [path],
    queryFn: ({ signal }: { readonly signal: AbortSignal }) => ask<Answer>("GET", path!, undefined, signal),
    enabled: path !== null,
    meta: { topics },
  };
  // What was never asked is asked while the page is being drawn, not after: the first view waits for it.
  if (path !== null && client.getQueryState([path]) === undefined) void client.prefetchQuery(question);
  return useQuery<Answer>(question);
}

export interface ActDone<Input, Answer> {
  /** Said to the person; left out: nothing is said. */
  readonly say?: (answer: Answer, input: Input) => string;
  /** Takes the act back; offered for ten seconds. */
  readonly undo?: (answer: Answer) => Promise<unknown>;
}

/** Something that changes the library. A refusal is shown to the person in the server's words. */
export function useAct<Input, Answer = unknown>(
  run: (input: Input) => Promise<Answer>,
  { say, undo }: ActDone<Input, Answer> = {},
) {
  const client = useQueryClient();
  return useMutation<Answer, unknown, Input>({
    mutationFn: run,
    onError: (thrown) => notify({ problem: reportFrom(thrown) }),
    onSuccess: (answer, input) => {
      if (say) notify({ say: say(answer, input), undo: undo && (() => undo(answer)) });
    },
    // Not waited for: whoever acted goes on at once, what is shown follows.
    onSettled: () => askAnew(client),
  });
}
