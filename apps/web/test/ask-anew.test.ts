import assert from "node:assert/strict";
import { test } from "node:test";
import { QueryClient, QueryObserver } from "@tanstack/react-query";
import { askAnew } from "../src/api/ask-anew.ts";

test("news that come while the first answer is on its way are not lost with it", async () => {
  const client = new QueryClient({ defaultOptions: { queries: { staleTime: 30_000, gcTime: 0 } } });
  const answers = [Promise.withResolvers<string>(), Promise.withResolvers<string>()];
  let asked = 0;
  const question = { queryKey: ["/jobs/1"], queryFn: () => answers[asked++]!.promise };
  // As a page does it: asked for while it is drawn, watched from when it stands.
  void client.prefetchQuery(question);
  askAnew(client, ({ queryKey }) => queryKey[0] === "/jobs/1");
  const watched: (string | undefined)[] = [];
  const stop = new QueryObserver(client, question).subscribe(({ data }) => watched.push(data));
  answers[0]!.resolve("running");
  answers[1]!.resolve("done");
  await new Promise((done) => setTimeout(done, 50));
  assert.equal(asked, 2);
  assert.equal(watched.at(-1), "done");
  stop();
  client.clear();
});

test("what is not concerned is not asked for again", async () => {
  const client = new QueryClient({ defaultOptions: { queries: { staleTime: 30_000, gcTime: 0 } } });
  let asked = 0;
  const question = { queryKey: ["/today"], queryFn: async () => ++asked };
  const stop = new QueryObserver(client, question).subscribe(() => {});
  askAnew(client, ({ queryKey }) => queryKey[0] === "/jobs/1");
  await new Promise((done) => setTimeout(done, 50));
  assert.equal(asked, 1);
  stop();
  client.clear();
});
