/**
 * Lists for twenty people at once while a card is taken in.
 *
 *     node bench/web/lists.bench.ts [SECONDS]
 *
 * Twenty connections ask for the day, the requests and the frames, each again as soon as it was answered, a second of
 * thinking apart as people do; first with nothing else going on (the baseline of the same run), then while another
 * program takes a card in again and again into the same library.
 */
import { spawn } from "node:child_process";
import { readdirSync } from "node:fs";
import { appendFile, cp, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { serveDemonstration } from "../../apps/web/test/harness/served.ts";
import { machine, median, percentile, say } from "./say.ts";

const seconds = Number(process.argv[2] ?? 20);
const PEOPLE = 20;
const THINKS_MS = 1000;
const AIM_MS = 300;
const LISTS = ["/api/today", "/api/requests", "/api/frames"];
const MAIN = resolve(import.meta.dirname, "../../apps/cli/src/main.ts");

const served = await serveDemonstration();
const cards = await mkdtemp(join(tmpdir(), "samescale-cards-"));
try {
  say(`${machine()}, ${PEOPLE} people, ${seconds} s each`);
  const alone = await ask();
  const intake = takeInAgainAndAgain();
  const beside = await ask();
  const taken = await intake.stop();
  say("| list | alone: median, 95 % | with an intake running: median, 95 % | ratio of the 95 % |");
  say("| --- | ---: | ---: | ---: |");
  for (const list of LISTS) {
    const [before, during] = [alone.get(list)!, beside.get(list)!];
    const [p, q] = [percentile(before, 0.95), percentile(during, 0.95)];
    say(
      `| ${list} | ${median(before).toFixed(0)} ms, ${p.toFixed(0)} ms | ${median(during).toFixed(0)} ms, ${q.toFixed(0)} ms | ${(q / p).toFixed(1)} |`,
    );
  }
  const worst = Math.max(...LISTS.map((list) => percentile(beside.get(list)!, 0.95)));
  say(
    `Worst 95th percentile with ${taken} cards taken in meanwhile: ${worst.toFixed(0)} ms (aim ${AIM_MS}).`,
  );
} finally {
  await served.close();
  await rm(cards, { recursive: true, force: true });
}

async function ask(): Promise<Map<string, number[]>> {
  const times = new Map(LISTS.map((list) => [list, [] as number[]]));
  const until = performance.now() + seconds * 1000;
  await Promise.all(
    Array.from({ length: PEOPLE }, async (_, person) => {
      await pause((person / PEOPLE) * THINKS_MS);
      for (let turn = person; performance.now() < until; turn++) {
        const list = LISTS[turn % LISTS.length]!;
        const began = performance.now();
        const answer = await fetch(new URL(list, served.url));
        await answer.arrayBuffer();
        if (!answer.ok) throw new Error(`${list}: ${answer.status}`);
        times.get(list)!.push(performance.now() - began);
        await pause(THINKS_MS);
      }
    }),
  );
  return times;
}

/** The demonstration's cards under new contents each time: a file that is there already is no work. */
function takeInAgainAndAgain(): { stop(): Promise<number> } {
  let taken = 0;
  let isOn = true;
  const work = (async () => {
    const from = join(served.folder, "cards");
    const library = served.library;
    for (let round = 0; isOn; round++) {
      const card = join(cards, String(round));
      await cp(join(from, readdirSync(from)[0]!), card, { recursive: true });
      await changeEach(card, round);
      await new Promise((done) =>
        spawn(process.execPath, [MAIN, "take-in", card, "--library", library, "--json"], {
          stdio: "ignore",
        }).once("exit", done),
      );
      if (isOn) taken++;
    }
  })();
  return {
    async stop() {
      isOn = false;
      await work;
      return taken;
    },
  };
}

/** A few bytes after the end of each picture: another hash, the same picture. */
async function changeEach(card: string, round: number): Promise<void> {
  for (const name of readdirSync(card, { recursive: true, encoding: "utf8" })) {
    if (/\.jpe?g$/i.test(name)) await appendFile(join(card, name), `round ${round}`);
  }
}

function pause(ms: number): Promise<void> {
  return new Promise((done) => setTimeout(done, ms));
}
