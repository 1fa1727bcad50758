import { SamescaleError } from "@samescale/errors";
import type { App } from "../deps.ts";

/** A page of another site cannot set it without asking first, and nobody answers that question. */
export const OWN_PAGE_HEADER = "x-samescale";

const READING = new Set(["GET", "HEAD", "OPTIONS"]);

/** What changes something must come from our own page. @source OwaspCsrf */
export function ownPagesOnly(app: App): void {
  app.addHook("onRequest", async (request) => {
    const site = request.headers["sec-fetch-site"];
    const isOther = site === "cross-site" || site === "same-site";
    const isNavigation = request.headers["sec-fetch-mode"] === "navigate";
    if (READING.has(request.method)) {
      // A link from elsewhere may open a page; it may not load data or pictures.
      if (!isOther || isNavigation) return;
    } else if (!isOther && request.headers[OWN_PAGE_HEADER] === "1") return;
    throw new SamescaleError(
      "OTHER_SITE",
      "This request did not come from the application's own page",
      "Open the application itself and do it there.",
    );
  });
}
