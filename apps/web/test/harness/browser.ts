import { existsSync } from "node:fs";
import { type Browser, chromium, type Page } from "playwright-core";

const CHROMIUM = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(
  existsSync,
);

/** Said where a test is skipped. */
export const NO_BROWSER = CHROMIUM ? false : "Chromium is not on this machine (Debian package chromium)";

/**
 * Parts of the browser that nobody sees here. The pages behind its address bar are made ready for every window, which takes
 * two seconds of a processor, more than our own page; the rest asks servers of its maker's.
 */
const LEFT_OUT = [
  ...["WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup", "PreloadTopChromeWebUI"],
  ...["MediaRouter", "OptimizationHints", "NetworkTimeServiceQuerying", "PreconnectToSearch", "AimEnabled"],
  // As the driver of the browser would have them.
  ...["HttpsUpgrades", "HttpsFirstBalancedModeAutoEnable", "PaintHolding", "DestroyProfileOnBrowserClose"],
];

/** Debian's Chromium, without a window. */
export const openBrowser = (): Promise<Browser> =>
  chromium.launch({
    executablePath: CHROMIUM!,
    args: [
      ...["--no-sandbox", "--disable-dev-shm-usage", "--force-color-profile=srgb"],
      `--disable-features=${LEFT_OUT.join(",")}`,
    ],
  });

export interface PageWanted {
  readonly widthPx?: number;
  readonly heightPx?: number;
  readonly light?: "dim" | "light";
}

export interface OpenPage {
  readonly page: Page;
  /** What the page complained of: faults of scripts, refused styles, answers of 500. A good test ends with none. */
  readonly complaints: string[];
  close(): Promise<void>;
}

/** A page of a person of their own (own cookies, own storage). */
export async function openPage(browser: Browser, url: string, wanted: PageWanted = {}): Promise<OpenPage> {
  const { widthPx = 1280, heightPx = 800, light = "dim" } = wanted;
  const context = await browser.newContext({
    viewport: { width: widthPx, height: heightPx },
    colorScheme: light === "dim" ? "dark" : "light",
    reducedMotion: "reduce",
    baseURL: url,
    hasTouch: widthPx < 600,
  });
  const page = await context.newPage();
  // The machine may be busy with other tests: longer than a person would wait. How quick it is, benches say.
  page.setDefaultTimeout(60_000);
  const complaints: string[] = [];
  page.on("pageerror", (fault) => complaints.push(fault.message));
  page.on("console", (message) => {
    // A refusal that the page shows to the person is no complaint; nor is the browser's own word when it looks for a newer
    // shell while a test has ended the server.
    const isExpected = /status of 4\d\d|ERR_|error occurred when fetching the script/.test(message.text());
    if (message.type() === "error" && !isExpected) complaints.push(message.text());
  });
  await page.goto(url);
  return { page, complaints, close: () => context.close() };
}
