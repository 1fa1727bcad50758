import { mkdtempSync, rmSync } from "node:fs";
import { createServer, type IncomingMessage, request, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
// @ts-expect-error -- it brings no types
import S3rver from "s3rver";

/** A real S3 server of our own, on a free port, over a folder that is gone after the tests. */
export interface S3Server {
  readonly endpoint: string;
  readonly bucket: string;
  readonly key: string;
  readonly secret: string;
  stop(): Promise<void>;
}

/** The only account that the server knows; it checks the key, not the signature. */
const ACCOUNT = { key: "S3RVER", secret: "S3RVER" };

export async function startS3(bucket = "pictures"): Promise<S3Server> {
  const directory = mkdtempSync(join(tmpdir(), "samescale-s3-"));
  process.on("exit", () => rmSync(directory, { recursive: true, force: true }));
  const server = new S3rver({
    ...{ port: 0, address: "127.0.0.1", silent: true, directory, vhostBuckets: false },
    configureBuckets: [{ name: bucket }],
  });
  const { port } = (await server.run()) as AddressInfo;
  return {
    endpoint: `http://127.0.0.1:${port}`,
    bucket,
    ...ACCOUNT,
    async stop() {
      server.httpServer.closeAllConnections();
      await server.close();
      rmSync(directory, { recursive: true, force: true });
    },
  };
}

/** May answer a request itself (true), or change what the store answers. */
export type Meddle = (question: IncomingMessage, answer: ServerResponse) => boolean | Promise<boolean>;

/** Stands in front of a store: to be slow, wrong, gone or more modern than it is. */
export async function startInFrontOf(
  server: S3Server,
  meddle: Meddle,
  changeBody: (question: IncomingMessage, piece: Buffer) => Buffer = (_, piece) => piece,
): Promise<S3Server> {
  const { port } = new URL(server.endpoint);
  const proxy = createServer(async (question, answer) => {
    if (await meddle(question, answer)) return;
    const { method, url, headers } = question;
    const onward = request({ host: "127.0.0.1", port, method, path: url, headers }, (reply) => {
      answer.writeHead(reply.statusCode ?? 500, reply.headers);
      reply.on("data", (piece) => answer.write(changeBody(question, piece)));
      reply.on("end", () => answer.end());
    });
    onward.on("error", () => answer.destroy());
    question.pipe(onward);
  });
  await new Promise<void>((resolve) => proxy.listen(0, "127.0.0.1", resolve));
  return {
    ...server,
    endpoint: `http://127.0.0.1:${(proxy.address() as AddressInfo).port}`,
    async stop() {
      proxy.closeAllConnections();
      await new Promise((resolve) => proxy.close(resolve));
    },
  };
}
