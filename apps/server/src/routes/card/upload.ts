import { createHash, randomUUID } from "node:crypto";
import { createReadStream } from "node:fs";
import { rm } from "node:fs/promises";
import { join } from "node:path";
import { Readable } from "node:stream";
import { PHOTOGRAPHERS } from "@samescale/desk";
import { SamescaleError } from "@samescale/errors";
import { FileStore } from "@tus/file-store";
import { MemoryLocker, Metadata, Server } from "@tus/server";
import type { FastifyReply, FastifyRequest } from "fastify";
import { z } from "zod";
import type { App } from "../../deps.ts";
import { who } from "../../identity/who.ts";
import { type Drop, type Drops, fileOf } from "./drops.ts";
import { ownerOf } from "./owner.ts";
import { freeBytes } from "./space.ts";

/** A long video; larger is no camera file. */
export const MOST_FILE_BYTES = 16_000_000_000;
/** A card of 5,000 small files in a minute, each a request or two. */
const UPLOADS_PER_MINUTE = 40_000;

const metadataSchema = z.object({
  path: z.string().min(1).max(1000),
  modifiedMs: z.string().regex(/^\d{1,14}$/),
  sha256: z
    .string()
    .regex(/^[0-9a-f]{64}$/)
    .optional(),
});
const uploadParams = z.object({ drop: z.uuid(), upload: z.uuid() });

/** Whose request it is, found before the upload server sees it. */
interface Mine {
  readonly person: string;
  readonly drop: Drop;
}

/**
 * Resumable uploads by the open tus protocol, below `/card/drop/DROP`: whose drop it is, sizes and names are asked here, as
 * for every other route; the protocol itself is the library's. @source Tus
 */
export function uploadRoutes(app: App, drops: Drops, folder: string): void {
  const mine = new WeakMap<Request, Mine>();
  const ofRequest = (request: Request): Mine => {
    const found = mine.get(request);
    if (found) return found;
    throw new Error("An upload came past its own route");
  };
  const idOf = ({ person, drop }: Mine, upload: string) =>
    join(drops.at(person, drop.id).slice(folder.length + 1), "incoming", upload);
  // Made with the first upload: it makes the folder.
  let made: Server | null = null;
  const server = (): Server => {
    made ??= newServer();
    return made;
  };
  const newServer = () =>
    new Server({
      path: "/api/card/drop",
      datastore: new FileStore({ directory: folder }),
      locker: new MemoryLocker(),
      maxSize: MOST_FILE_BYTES,
      // No other page may ask, so none is told that it may.
      allowedOrigins: () => false,
      namingFunction: (request) => idOf(ofRequest(request), randomUUID()),
      getFileIdFromRequest: (request, last) =>
        last === undefined ? undefined : idOf(ofRequest(request), last),
      generateUrl: (request, { path, id }) => `${path}/${ofRequest(request).drop.id}/${id.split("/").at(-1)}`,
      async onUploadFinish(request, { id, size, metadata }) {
        const { person, drop } = ofRequest(request);
        const upload = id.split("/").at(-1) ?? "";
        const file = fileOf(metadata ?? {}, size ?? 0);
        const path = join(folder, id);
        if (file.sha256 !== null && (await sha256Of(path)) !== file.sha256) {
          await rm(path, { force: true });
          await rm(`${path}.json`, { force: true });
          throw { status_code: 460, body: "It arrived changed: it is not the file that the browser read" };
        }
        await drops.settle(person, drop, upload, file);
        return {};
      },
    });

  app.addContentTypeParser("application/offset+octet-stream", (_request, _body, done) => done(null));
  const config = {
    may: PHOTOGRAPHERS,
    rateLimit: { max: UPLOADS_PER_MINUTE, timeWindow: "1 minute" },
  };

  async function pass(request: FastifyRequest, reply: FastifyReply, dropId: string): Promise<FastifyReply> {
    const person = ownerOf(who(request));
    const asked = webRequest(request);
    mine.set(asked, { person, drop: await drops.find(person, dropId) });
    const answer = await server().handleWeb(asked);
    const text = await answer.text();
    for (const [name, value] of answer.headers) {
      // Length and kind of the body are said anew; nobody else's page may read the rest.
      if (!/^(access-control-|content-)/.test(name)) reply.header(name, value);
    }
    if (answer.ok) return await reply.code(answer.status).send(text === "" ? undefined : text);
    const report = await reportFor(answer.status, text.trim());
    return await reply.code(report.code === "DISK_FULL" ? 507 : answer.status).send(report);
  }

  async function reportFor(status: number, said: string) {
    if (status >= 500 && (await freeBytes(folder)) < 50_000_000) {
      const help = "Free some space at the server, then go on: what came stays.";
      return { code: "DISK_FULL", message: "The server's disk is full", help };
    }
    if (status === 460)
      return { code: "UPLOAD_CHANGED", message: said, help: "It is sent again from the beginning." };
    return { code: "UPLOAD_REFUSED", message: said, help: "Drop the file again; what came whole stays." };
  }

  app.post(
    "/card/drop/:drop",
    { config, schema: { params: z.object({ drop: z.uuid() }) } },
    async (request, reply) => {
      const { drop } = request.params;
      await refuseDeclared(request, drops, drop);
      return await pass(request, reply, drop);
    },
  );
  for (const method of ["HEAD", "PATCH", "DELETE"] as const) {
    app.route({
      method,
      url: "/card/drop/:drop/:upload",
      config,
      schema: { params: uploadParams },
      exposeHeadRoute: false,
      handler: async (request, reply) =>
        await pass(request, reply, (request.params as z.infer<typeof uploadParams>).drop),
    });
  }
}

/** A new file: its size and name, and whether the drop has room for it as it was declared. */
async function refuseDeclared(request: FastifyRequest, drops: Drops, dropId: string): Promise<void> {
  const person = ownerOf(who(request));
  const drop = await drops.find(person, dropId);
  const length = String(request.headers["upload-length"] ?? "");
  if (!/^\d{1,15}$/.test(length)) throw refused("FIELD_NOT_RIGHT", "The file's size was not said");
  if (Number(length) > MOST_FILE_BYTES)
    throw refused("TOO_LARGE", "This file is larger than any camera file");
  let metadata: unknown;
  try {
    metadata = Metadata.parse(String(request.headers["upload-metadata"] ?? ""));
  } catch {
    throw refused("FIELD_NOT_RIGHT", "What was said of the file cannot be read");
  }
  const read = metadataSchema.safeParse(metadata);
  if (!read.success) throw refused("FIELD_NOT_RIGHT", `Not right: ${read.error.issues[0]?.path.join(".")}`);
  const here = await drops.arrived(person, dropId);
  const bytes = [...here.values()].reduce((sum, file) => sum + file.bytes, Number(length));
  const again = here.get(read.data.path);
  if (again ? bytes - again.bytes > drop.bytes : here.size >= drop.files || bytes > drop.bytes) {
    throw refused("TOO_LARGE", "More is sent than was said when the card was dropped");
  }
}

const refused = (code: string, message: string) =>
  new SamescaleError(code, message, "Drop the card again; what came whole stays.");

/** The same request in the form of the web, its body as it streams in. */
function webRequest(request: FastifyRequest): Request {
  const headers = new Headers();
  for (const [name, value] of Object.entries(request.headers)) {
    for (const one of [value ?? []].flat()) headers.append(name, one);
  }
  const hasBody = request.method === "POST" || request.method === "PATCH";
  return new Request(`http://localhost${request.url}`, {
    method: request.method,
    headers,
    ...(hasBody ? { body: Readable.toWeb(request.raw) as ReadableStream, duplex: "half" } : {}),
  });
}

async function sha256Of(path: string): Promise<string> {
  const hash = createHash("sha256");
  for await (const piece of createReadStream(path)) hash.update(piece as Buffer);
  return hash.digest("hex");
}
