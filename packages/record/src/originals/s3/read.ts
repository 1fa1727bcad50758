import { GetObjectCommand } from "@aws-sdk/client-s3";
import type { Bucket } from "./client.ts";
import { isNoSuchKey } from "./faults.ts";

/** What lies under this key, piece by piece; null when nothing does. */
export async function readObject(
  bucket: Bucket,
  key: string,
  signal?: AbortSignal,
): Promise<AsyncIterable<Uint8Array> | null> {
  const question = new GetObjectCommand({ Bucket: bucket.place.bucket, Key: key });
  const sending = signal ? { abortSignal: signal } : {};
  const answer = await bucket.ask(() => bucket.client.send(question, sending), isNoSuchKey);
  return answer === null
    ? null
    : whole(bucket, answer.Body as AsyncIterable<Uint8Array>, answer.ContentLength, signal);
}

/** A connection that breaks in the middle may look like an end: fewer bytes than promised are a fault. */
async function* whole(
  bucket: Bucket,
  body: AsyncIterable<Uint8Array>,
  promised: number | undefined,
  signal?: AbortSignal,
) {
  const pieces = body[Symbol.asyncIterator]();
  let bytes = 0;
  try {
    for (;;) {
      signal?.throwIfAborted();
      const next = await bucket.ask(() => pieces.next());
      if (next.done) break;
      bytes += next.value.length;
      yield next.value;
    }
  } finally {
    await pieces.return?.();
  }
  if (promised !== undefined && bytes !== promised) {
    await bucket.ask(() => Promise.reject(Object.assign(new Error("cut off"), { code: "ECONNRESET" })));
  }
}
