import assert from "node:assert/strict";
import { test } from "node:test";
import { setImmediate as turn } from "node:timers/promises";
import { NewestFirst } from "../../src/watch/newest-first.ts";

interface Frame {
  readonly n: number;
  readonly atMs: number;
}

/** Frames that arrive at these times, each judged in `judgeMs`, on a clock that is only counted forward. */
async function judged(
  arrivals: readonly number[],
  { workers = 2, judgeMs = 1000, patienceMs = 10_000 } = {},
) {
  let nowMs = 0;
  const timers: { readonly atMs: number; readonly run: () => void }[] = [];
  const at = (atMs: number, run: () => void) => timers.push({ atMs, run });
  const done: { readonly n: number; readonly lateMs: number; readonly atMs: number }[] = [];
  let most = 0;
  let running = 0;
  const frames = new NewestFirst<Frame>({
    workers,
    patienceMs,
    clock: () => nowMs,
    signal: new AbortController().signal,
    byNewness: (a, b) => b.atMs - a.atMs || b.n - a.n,
    async work({ n, atMs }) {
      most = Math.max(most, ++running);
      await new Promise<void>((resolve) => at(nowMs + judgeMs, resolve));
      running--;
      done.push({ n, lateMs: nowMs - atMs, atMs: nowMs });
    },
  });
  for (const [n, atMs] of arrivals.entries()) at(atMs, () => frames.add({ n, atMs }));
  while (timers.length > 0) {
    timers.sort((a, b) => a.atMs - b.atMs);
    const next = timers.shift()!;
    nowMs = next.atMs;
    next.run();
    if (timers[0]?.atMs !== nowMs) await turn();
  }
  await frames.idle();
  return { done, most };
}

const every = (ms: number, count: number) => Array.from({ length: count }, (_, n) => n * ms);

test("the newest is judged first, with no more at a time than there are workers", async () => {
  const { done, most } = await judged([0, 0, 0, 0, 0, 0]);
  assert.deepEqual(
    done.map(({ n }) => n),
    [5, 4, 3, 2, 1, 0],
  );
  assert.equal(most, 2);
});

test("a burst of 30 frames, four a second, is caught up with within 10 s of its end", async () => {
  // 30 frames at 1 s each on two workers are 15 s of work; they come within 7.25 s.
  const arrivals = every(250, 30);
  const { done } = await judged(arrivals);
  assert.equal(done.length, 30);
  const lastArrivedMs = arrivals.at(-1)!;
  const behindMs = Math.max(...done.map(({ atMs }) => atMs)) - lastArrivedMs;
  assert.ok(behindMs <= 10_000, `${behindMs} ms`);
  // Whoever stops and looks at the screen sees the last frame: the one running is finished, then it is judged.
  assert.ok(done.find(({ n }) => n === 29)!.lateMs <= 2000);
  // On the way there is always a verdict about what was just made, too.
  assert.ok(done.some(({ n, lateMs }) => n > 5 && n < 25 && lateMs <= 2000));
});

test("without an end of new frames the old ones are judged too, by turns", async () => {
  // Three a second for a minute are more than two workers can do.
  const { done } = await judged(every(333, 180), { patienceMs: 5000 });
  const first = done.find(({ n }) => n === 1)!;
  assert.ok(first.lateMs < 30_000);
  assert.deepEqual(
    done.map(({ n }) => n).sort((a, b) => a - b),
    every(1, 180),
  );
  // No frame waits for more than the one overdue before it: half of the verdicts are of new frames.
  const inTime = done.filter(({ atMs, lateMs }) => atMs > 20_000 && atMs < 60_000 && lateMs <= 2000);
  assert.ok(inTime.length >= 30, `${inTime.length}`);
});

test("what is no longer wanted is taken out, and stopped when it runs", async () => {
  const seen: string[] = [];
  const stop = new AbortController();
  const frames = new NewestFirst<string>({
    workers: 1,
    clock: () => 0,
    signal: stop.signal,
    byNewness: (a, b) => (a > b ? -1 : 1),
    async work(name, signal) {
      await new Promise<void>((resolve) => {
        if (name === "b") resolve();
        else signal.addEventListener("abort", () => resolve());
      });
      seen.push(`${name}${signal.aborted ? " stopped" : ""}`);
    },
  });
  for (const name of ["a", "b", "c"]) frames.add(name);
  await turn();
  frames.drop((name) => name === "c");
  await turn();
  assert.deepEqual(seen, ["c stopped", "b"]);
  frames.add("d");
  stop.abort();
  frames.add("e");
  await frames.idle();
  assert.deepEqual(seen, ["c stopped", "b", "a stopped"]);
});
