/**
 * How long until the first view stands, and how much JavaScript it takes, from a warm server.
 *
 *     node bench/web/first-view.bench.ts [ROUNDS]
 *
 * Each round is a browser profile of its own (nothing cached) that opens Today of the demonstration; the time is from
 * the navigation to the moment when the day's first request is on the screen. Told beside it is what the page's thread took of a
 * processor for that: browser, server and this program share the machine. Baseline of the same run: the same browser opening
 * the smallest answer of the same server, which is what the machine needs for nothing.
 */
import { openBrowser } from "../../apps/web/test/harness/browser.ts";
import { serveDemonstration } from "../../apps/web/test/harness/served.ts";
import { machine, median, percentile, say } from "./say.ts";

const rounds = Number(process.argv[2] ?? 15);
const AIM_MS = 1000;
const AIM_KB = 300;

const served = await serveDemonstration();
const browser = await openBrowser();
const viewMs: number[] = [];
const nothingMs: number[] = [];
const processorMs: number[] = [];
let scriptBytes = 0;
try {
  for (let round = -2; round < rounds; round++) {
    const context = await browser.newContext({ baseURL: served.url, reducedMotion: "reduce" });
    const page = await context.newPage();
    const thread = await context.newCDPSession(page);
    await thread.send("Performance.enable", { timeDomain: "threadTicks" });
    const began = performance.now();
    await page.goto("/");
    await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
    await page.getByRole("link", { name: /R-\d+/ }).first().waitFor();
    const ms = performance.now() - began;
    const { metrics } = await thread.send("Performance.getMetrics");
    const ofThread = metrics.find(({ name }) => name === "TaskDuration")!.value * 1000;
    await page.waitForLoadState("networkidle");
    const bytes = await page.evaluate(() =>
      (performance.getEntriesByType("resource") as PerformanceResourceTiming[])
        .filter(({ name }) => name.endsWith(".js"))
        .reduce((sum, { encodedBodySize }) => sum + encodedBodySize, 0),
    );
    const bare = performance.now();
    await page.goto("/api/health");
    const bareMs = performance.now() - bare;
    await context.close();
    // The first two warm the server and the browser.
    if (round < 0) continue;
    viewMs.push(ms);
    nothingMs.push(bareMs);
    processorMs.push(ofThread);
    scriptBytes = bytes;
  }
} finally {
  await browser.close();
  await served.close();
}
say(`${machine()}, ${rounds} rounds`);
say(
  `first view: median ${median(viewMs).toFixed(0)} ms, 95th percentile ${percentile(viewMs, 0.95).toFixed(0)} ms (aim ${AIM_MS})`,
);
say(`of it the page's thread took ${median(processorMs).toFixed(0)} ms of a processor (median)`);
say(
  `smallest answer of the same server: median ${median(nothingMs).toFixed(0)} ms; ratio ${(median(viewMs) / median(nothingMs)).toFixed(1)}`,
);
say(`JavaScript for it, packed: ${(scriptBytes / 1000).toFixed(0)} kB (aim ${AIM_KB})`);
