import { randomBytes } from "node:crypto";
import type { PostgresServer } from "./postgres.ts";
import { POSTGRES_ABSENT, startPostgres } from "./postgres.ts";
import { type S3Server, startS3 } from "./s3.ts";

/** Both servers of a department. */
export interface Servers {
  readonly postgres: PostgresServer;
  readonly s3: S3Server;
  /** What a new places.json says: a fresh database, and a part of the bucket of its own. */
  freshPlaces(): Promise<{ tables: string; originals: string; endpoint: string }>;
  stop(): Promise<void>;
}

/** Starts both and puts the store's key into the environment; null where PostgreSQL is absent. */
export async function startServers(): Promise<Servers | null> {
  const postgres = await startPostgres();
  if (postgres === null) return null;
  const s3 = await startS3();
  process.env.SAMESCALE_STORE_KEY = s3.key;
  process.env.SAMESCALE_STORE_SECRET = s3.secret;
  return {
    postgres,
    s3,
    async freshPlaces() {
      const originals = `s3://${s3.bucket}/${randomBytes(6).toString("hex")}`;
      return { tables: await postgres.freshDatabase(), originals, endpoint: s3.endpoint };
    },
    async stop() {
      postgres.stop();
      await s3.stop();
    },
  };
}

export { POSTGRES_ABSENT };
