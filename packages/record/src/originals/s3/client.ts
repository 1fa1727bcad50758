import { S3Client } from "@aws-sdk/client-s3";
import { asStoreError } from "./faults.ts";
import { type S3Place, sayS3Place } from "./place.ts";

/** A store that accepts no connection, or then says nothing, is given up after this. */
const CONNECT_WITHIN_MS = 10_000;
const SILENT_MS = 60_000;

/** Faults come as errors; nothing that the SDK has to say goes to a terminal or a log. */
const nothing = () => {};
const SILENT = { trace: nothing, debug: nothing, info: nothing, warn: nothing, error: nothing };

/** The client of one bucket; every fault comes as ours. */
export interface Bucket {
  readonly client: S3Client;
  readonly place: S3Place;
  /** Asks, and names the fault. `expected` faults come as null. */
  ask<T>(question: () => Promise<T>): Promise<T>;
  ask<T>(question: () => Promise<T>, expected: (thrown: unknown) => boolean): Promise<T | null>;
  close(): void;
}

export function bucketAt(place: S3Place): Bucket {
  const client = new S3Client({
    endpoint: place.endpoint,
    region: place.region,
    forcePathStyle: place.pathStyle,
    // Only what was given: the SDK's own search would look around this machine and its network.
    credentials: { accessKeyId: place.key, secretAccessKey: place.secret },
    // The SHA-256 is known before anything is sent; the SDK need not compute sums of its own.
    requestChecksumCalculation: "WHEN_REQUIRED",
    responseChecksumValidation: "WHEN_REQUIRED",
    maxAttempts: 4,
    logger: SILENT,
    requestHandler: { connectionTimeout: CONNECT_WITHIN_MS, requestTimeout: SILENT_MS },
  });
  async function ask<T>(question: () => Promise<T>, expected?: (thrown: unknown) => boolean) {
    try {
      return await question();
    } catch (thrown) {
      if (expected?.(thrown)) return null;
      throw asStoreError(thrown, sayS3Place(place));
    }
  }
  return { client, place, ask: ask as Bucket["ask"], close: () => client.destroy() };
}
