import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import type { ContactSheet } from "@samescale/desk";
import { reportOf } from "@samescale/errors";
import fastify, { type FastifyInstance } from "fastify";
import { contactSheetPage } from "./contact-sheet-page.ts";
import { stylesheet } from "./stylesheet.ts";

/** What the pages need of the desk: the server itself has no rules and touches no store. */
export interface Pages {
  readonly title: string;
  contactSheet(): Promise<ContactSheet>;
  /** JPEG of an original, long side at most `maxSidePx`; null when the library has no such original. */
  thumbnail(sha256: string, maxSidePx: number): Promise<Uint8Array | null>;
  /** A request's shot card for a phone, and what its page may use. @throws SamescaleError of `STATUS` */
  shotCard(requestCode: string): Promise<{ readonly html: string; readonly contentSecurityPolicy: string }>;
}

/** What is no fault of the server: asked for and not there, or not for whoever asks. */
const STATUS: Readonly<Record<string, number>> = {
  REQUEST_UNKNOWN: 404,
  REQUEST_WITHOUT_PLAN: 404,
  PAGES_WITHOUT_SIGN_IN: 403,
};

const THUMBNAIL_SIDE_PX = 480;
const OWN_FILES_ONLY =
  "default-src 'none'; img-src 'self'; style-src 'self'; font-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'";
const font = createRequire(import.meta.url).resolve(
  "@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-400-normal.woff2",
);
const boldFont = font.replace("-400-", "-700-");

/**
 * The application over a library, as a function: tests inject requests without a socket. Meant for loopback only: a
 * request that names another host is refused, so that a page elsewhere cannot reach in through a name it controls.
 */
export function buildApp(pages: Pages): FastifyInstance {
  const app = fastify({ logger: false, bodyLimit: 1024, trustProxy: false });

  app.addHook("onRequest", async (request, reply) => {
    const host = request.host.replace(/:\d+$/, "");
    if (!["127.0.0.1", "localhost", "[::1]"].includes(host)) {
      await reply
        .code(421)
        .type("text/plain")
        .send("This address is not served here. Open http://127.0.0.1 instead.\n");
    }
  });
  app.addHook("onSend", async (_request, reply) => {
    // A page that brings its own styles and script names them by their hashes.
    if (!reply.hasHeader("content-security-policy")) reply.header("content-security-policy", OWN_FILES_ONLY);
    reply.headers({
      "x-content-type-options": "nosniff",
      "referrer-policy": "no-referrer",
      "cross-origin-resource-policy": "same-origin",
      "cross-origin-opener-policy": "same-origin",
    });
    // Patient pictures stay out of the browser's cache on disk.
    if (!reply.hasHeader("cache-control")) reply.header("cache-control", "no-store");
  });

  app.get("/", async (_request, reply) => {
    const page = contactSheetPage(pages.title, await pages.contactSheet());
    return await reply.type("text/html; charset=utf-8").send(page);
  });
  app.get<{ Params: { sha256: string } }>("/thumbnail/:sha256", async (request, reply) => {
    const { sha256 } = request.params;
    const jpeg = /^[0-9a-f]{64}$/.test(sha256) ? await pages.thumbnail(sha256, THUMBNAIL_SIDE_PX) : null;
    if (jpeg === null) return await reply.code(404).type("text/plain").send("There is no such original.\n");
    return await reply.type("image/jpeg").send(Buffer.from(jpeg));
  });
  app.get<{ Params: { code: string } }>("/requests/:code/card", async (request, reply) => {
    const { html, contentSecurityPolicy } = await pages.shotCard(request.params.code);
    reply.header("content-security-policy", contentSecurityPolicy);
    return await reply.type("text/html; charset=utf-8").send(html);
  });
  app.get("/style.css", async (_request, reply) => reply.type("text/css; charset=utf-8").send(stylesheet));
  app.get("/font.woff2", async (_request, reply) => await sendFont(reply, font));
  app.get("/font-bold.woff2", async (_request, reply) => await sendFont(reply, boldFont));

  async function sendFont(reply: import("fastify").FastifyReply, file: string): Promise<void> {
    await reply
      .header("cache-control", "max-age=86400")
      .type("font/woff2")
      .send(await readFile(file));
  }

  app.setNotFoundHandler(async (_request, reply) => {
    await reply.code(404).type("text/plain").send("There is no such page. The contact sheet is at /.\n");
  });
  app.setErrorHandler(async (thrown, request, reply) => {
    const report = reportOf(thrown, request.url.slice(0, 200));
    const { statusCode = 500 } = thrown as { statusCode?: number };
    const status = STATUS[report.code] ?? statusCode;
    await reply.code(status).type("text/plain").send(`${report.message}\n${report.help} [${report.code}]\n`);
  });
  return app;
}
