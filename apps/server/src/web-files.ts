import { createHash, randomBytes } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import files from "@fastify/static";
import type { FastifyReply } from "fastify";
import type { App } from "./deps.ts";
import { contentSecurityPolicy } from "./guard/headers.ts";

/** Stands in the page where the nonce of each answer goes. */
const NONCE = "NONCE-OF-THIS-ANSWER";

/** It fetches the shell's own files and nothing else. */
const WORKER_POLICY = "default-src 'none'; connect-src 'self'; frame-ancestors 'none'";

/**
 * The bundled application: files with their hash in the name are kept by the browser for ever, the page itself is not.
 * Every other address that somebody opens is the page's own affair (deep links, of which some end like a file).
 */
export async function webFiles(app: App, folder: string): Promise<void> {
  await app.register(files, {
    root: join(folder, "assets"),
    prefix: "/assets/",
    preCompressed: true,
    immutable: true,
    maxAge: "365d",
    index: false,
  });
  const page = await readFile(join(folder, "index.html"), "utf8");
  const hashes = scriptsIn(page).map(
    (script) => `sha256-${createHash("sha256").update(script).digest("base64")}`,
  );
  const sendPage = (reply: FastifyReply) => {
    const nonce = randomBytes(16).toString("base64");
    return reply
      .type("text/html; charset=utf-8")
      .header("content-security-policy", contentSecurityPolicy(nonce, hashes))
      .send(page.replaceAll(NONCE, nonce));
  };
  const worker = await readFile(join(folder, "service-worker.js"), "utf8");
  app.get("/service-worker.js", async (_request, reply) =>
    reply
      .type("text/javascript; charset=utf-8")
      .header("content-security-policy", WORKER_POLICY)
      .header("cache-control", "no-cache")
      .send(worker),
  );
  app.get("/", async (_request, reply) => sendPage(reply));
  app.get("/*", async (request, reply) => {
    const path = request.url.split("?", 1)[0] ?? "";
    const isFile = path.includes(".") && !request.headers.accept?.includes("text/html");
    return path.startsWith("/api") || isFile ? reply.callNotFound() : sendPage(reply);
  });
}

/** Scripts that stand in the page itself. */
const scriptsIn = (page: string): string[] =>
  [...page.matchAll(/<script([^>]*)>(.*?)<\/script>/gs)].flatMap(([, attributes = "", script = ""]) =>
    attributes.includes("src=") ? [] : [script],
  );
