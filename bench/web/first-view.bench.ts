/**
 * How long until the first view stands, and how much JavaScript it takes, from a warm server.
 *
 *     node bench/web/first-view.bench.ts [ROUNDS]
 *
 * Each round is a browser profile of its own (nothing cached) that opens Today of the demonstration; the time is the page's own
 * clock, from the beginning of the navigation to the frame after the one in which the day's first request is on the screen.
 * Told beside it: what this program saw of it from outside (its own questions to the browser are in that), and what the page's
 * thread took of a processor; browser, server and this program share the machine. Baseline of the same run: the same
 * browser opening the smallest answer of the same server, which is what the machine needs for nothing.
 */
import { openBrowser } from "../../apps/web/test/harness/browser.ts";
import { serveDemonstration } from "../../apps/web/test/harness/served.ts";
import { machine, median, percentile, say } from "./say.ts";

const rounds = Number(process.argv[2] ?? 15);
const AIM_MS = 1000;
/** Seldom: each question takes the page's thread a moment. */
const POLLED = { polling: 100 };
const AIM_KB = 300;

const served = await serveDemonstration();
const browser = await openBrowser();
const viewMs: number[] = [];
const outsideMs: number[] = [];
const nothingMs: number[] = [];
const processorMs: number[] = [];
let scriptBytes = 0;
try {
  for (let round = -2; round < rounds; round++) {
    const context = await browser.newContext({ baseURL: served.url, reducedMotion: "reduce" });
    const page = await context.newPage();
    await page.addInitScript(noteWhenItStands);
    const thread = await context.newCDPSession(page);
    await thread.send("Performance.enable", { timeDomain: "threadTicks" });
    const began = performance.now();
    await page.goto("/");
    const ms = await (
      await page.waitForFunction(() => (window as Noted).stoodMs, undefined, POLLED)
    ).jsonValue();
    const seenMs = performance.now() - began;
    await page.getByRole("heading", { level: 1, name: "Today" }).waitFor();
    await page.getByRole("link", { name: /R-\d+/ }).first().waitFor();
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
    viewMs.push(ms!);
    outsideMs.push(seenMs);
    nothingMs.push(bareMs);
    processorMs.push(ofThread);
    scriptBytes = bytes;
  }
} finally {
  await browser.close();
  await served.close();
}
say(`${machine()}, ${rounds} rounds`);
say(`seen from outside: median ${median(outsideMs).toFixed(0)} ms`);
say(
  `first view: median ${median(viewMs).toFixed(0)} ms, 95th percentile ${percentile(viewMs, 0.95).toFixed(0)} ms (aim ${AIM_MS})`,
);
say(`of it the page's thread took ${median(processorMs).toFixed(0)} ms of a processor (median)`);
say(
  `smallest answer of the same server: median ${median(nothingMs).toFixed(0)} ms; ratio ${(median(viewMs) / median(nothingMs)).toFixed(1)}`,
);
say(`JavaScript for it, packed: ${(scriptBytes / 1000).toFixed(0)} kB (aim ${AIM_KB})`);

type Noted = Window & { stoodMs?: number };

/** Runs in the page before its own scripts. */
function noteWhenItStands(): void {
  const watch = new MutationObserver(() => {
    const stands = [...document.querySelectorAll("main a")].some((link) =>
      /requests\/R-\d+/.test(link.getAttribute("href") ?? ""),
    );
    if (!stands || document.querySelector("h1")?.textContent !== "Today") return;
    watch.disconnect();
    requestAnimationFrame(() =>
      requestAnimationFrame(() => {
        (window as Noted).stoodMs = performance.now();
      }),
    );
  });
  watch.observe(document, { childList: true, subtree: true });
}
