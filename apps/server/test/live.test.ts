import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { addPatient, revokeSessions } from "@samescale/desk";
import { followLog } from "../src/live/follow-log.ts";
import { type AppWithPeople, OWN_PAGE, openAppWithPeople, type Signed } from "./accounts.ts";

let opened: AppWithPeople;
let url: string;
before(async () => {
  opened = await openAppWithPeople();
  url = await opened.app.listen({ host: "127.0.0.1", port: 0 });
});
after(() => opened.app.close());

interface Heard {
  readonly entry: number | null;
  readonly topic: string;
}

/** An open stream, and what came through it. */
async function listen(signed: Signed, query = "", headers: object = {}) {
  const stop = new AbortController();
  const answer = await fetch(`${url}/api/events${query}`, {
    headers: { cookie: signed.cookie, ...headers },
    signal: stop.signal,
  });
  const heard: Heard[] = [];
  const state = { ended: false };
  const read = async () => {
    let text = "";
    for await (const piece of answer.body!.pipeThrough(new TextDecoderStream())) {
      text += piece;
      const events = text.split("\n\n");
      text = events.pop()!;
      for (const event of events) {
        const data = /^data: (.*)$/m.exec(event)?.[1];
        const id = /^id: (\d+)$/m.exec(event)?.[1];
        if (data) heard.push({ entry: id ? Number(id) : null, topic: JSON.parse(data) });
      }
    }
  };
  const done = read()
    .catch(() => {})
    .then(() => {
      state.ended = true;
    });
  return { answer, heard, state, done, stop: () => stop.abort() };
}

async function until(what: () => boolean): Promise<void> {
  const began = performance.now();
  while (!what()) {
    if (performance.now() - began > 10_000) throw new Error("It did not come about");
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}

let number = 0;
const patient = () => ({ number: `HN${number++}`, authority: "H", name: "Ada", birthDate: null });
const personOf = async (login: string) => {
  const row = await opened.desk.library.read
    .selectFrom("person")
    .select(["id", "name"])
    .where("login", "=", login)
    .executeTakeFirstOrThrow();
  return { name: row.name, role: "photographer", personId: row.id } as const;
};

test("a stream says hello with the log's last number, tells what others did, and goes on after a cut", async () => {
  const signed = await opened.signIn("photographer");
  const first = await listen(signed);
  assert.equal(first.answer.headers.get("content-type"), "text/event-stream");
  assert.equal(first.answer.headers.get("cache-control"), "no-store");
  assert.match(first.answer.headers.get("content-security-policy")!, /default-src 'none'/);
  await until(() => first.heard.length > 0);
  assert.equal(first.heard[0]!.topic, "hello");
  const mara = await personOf("photographer");
  assert.equal((await addPatient(opened.desk, mara, patient())).done, true);
  await until(() => first.heard.some(({ topic }) => topic === "patient"));
  const last = first.heard.at(-1)!.entry!;
  first.stop();
  await first.done;

  for (let i = 0; i < 3; i++) await addPatient(opened.desk, mara, patient());
  for (const again of [
    await listen(signed, "", { "last-event-id": String(last) }),
    await listen(signed, `?since=${last}`),
  ]) {
    await until(() => again.heard.length > 0);
    assert.deepEqual(again.heard, [{ entry: last + 3, topic: "patient" }], "three of a kind are told as one");
    again.stop();
  }
  const ahead = await listen(signed, `?since=${last + 1000}`);
  await until(() => ahead.heard.length > 0);
  assert.deepEqual(ahead.heard, [{ entry: last + 3, topic: "hello" }], "a number of another log");
  ahead.stop();
});

test("a stream ends with its session, at once, and nobody else's does", async () => {
  const [lost, kept] = [await opened.signIn("viewer"), await opened.signIn("lead")];
  const [ends, stays] = [await listen(lost), await listen(kept)];
  const viewer = { ...(await personOf("viewer")), role: "viewer" } as const;
  await revokeSessions(opened.desk, viewer, { login: "viewer", because: "lost tablet" });
  await until(() => ends.state.ended);
  assert.equal(stays.state.ended, false);
  stays.stop();
  const refused = await listen(lost);
  assert.equal(refused.answer.status, 401);
});

test("one person has so many streams and no more; one that is closed makes room", async () => {
  const signed = await opened.signIn("auditor");
  const streams = [];
  for (let i = 0; i < 20; i++) streams.push(await listen(signed));
  const more = await listen(signed);
  assert.equal(more.answer.status, 429);
  streams[0]!.stop();
  await streams[0]!.done;
  let room = await listen(signed);
  for (let i = 0; i < 50 && room.answer.status === 429; i++) {
    await new Promise((resolve) => setTimeout(resolve, 20));
    room = await listen(signed);
  }
  assert.equal(room.answer.status, 200);
  for (const stream of [...streams, room]) stream.stop();
});

test("whatever comes while a listener reads what it missed is told to it once, in order", async () => {
  const { desk } = opened;
  const live = await followLog(desk);
  const mara = await personOf("photographer");
  const heard: number[] = [];
  await new Promise<void>(
    (resolve) => void live.listen(null, ({ entry }) => resolve(void heard.push(entry!))),
  );
  const since = heard[0]!;
  for (let round = 0; round < 20; round++) {
    const got: number[] = [];
    const work = (async () => {
      for (let i = 0; i < 3; i++) {
        await addPatient(desk, mara, patient());
        void live.look();
      }
    })();
    const stop = await live.listen(since, ({ entry }) => got.push(entry!));
    await work;
    await live.look();
    stop();
    assert.equal(got.at(-1), since + 3 * (round + 1), `round ${round}: nothing is lost`);
    assert.deepEqual(
      got,
      [...new Set(got)].sort((a, b) => a - b),
      `round ${round}: nothing twice`,
    );
  }
  live.close();
});

test("closing the server ends the streams and does not wait for them", async () => {
  const other = await openAppWithPeople();
  const at = await other.app.listen({ host: "127.0.0.1", port: 0 });
  const signed = await other.signIn("lead");
  const stream = await fetch(`${at}/api/events`, { headers: { ...OWN_PAGE, cookie: signed.cookie } });
  const reader = stream.body!.getReader();
  await reader.read();
  const began = performance.now();
  await other.app.close();
  assert.ok(performance.now() - began < 5000);
  let ended = false;
  while (!ended) ended = (await reader.read()).done;
});
