import { createReadStream } from "node:fs";
import { open } from "node:fs/promises";
import {
  AbortMultipartUploadCommand,
  type CompletedPart,
  CompleteMultipartUploadCommand,
  CreateMultipartUploadCommand,
  PutObjectCommand,
  UploadPartCommand,
} from "@aws-sdk/client-s3";
import { SamescaleError } from "@samescale/errors";
import type { Bucket } from "./client.ts";
import { isNotKnown, statusOf } from "./faults.ts";

/** Above this a file goes in parts: one request may hold 5 GiB, and a broken one is not sent anew as a whole. */
const WHOLE_BYTES = 256 << 20;
/** 10,000 parts are allowed: 640 GiB. */
const PART_BYTES = 64 << 20;
const ATTEMPTS = 3;

export interface Upload {
  readonly path: string;
  readonly key: string;
  readonly sha256: string;
  readonly bytes: number;
  readonly signal?: AbortSignal | undefined;
}

export interface UploadSizes {
  readonly wholeBytes: number;
  readonly partBytes: number;
}

/**
 * Sends a finished file to its key, which appears whole or not at all, and never replaces one (`If-None-Match`, where
 * the store knows it). False when the key was taken meanwhile.
 *
 * @source S3 API reference, "PutObject", "CompleteMultipartUpload"
 */
export async function upload(bucket: Bucket, file: Upload, sizes?: UploadSizes): Promise<boolean> {
  const { wholeBytes = WHOLE_BYTES, partBytes = PART_BYTES } = sizes ?? {};
  const send = file.bytes <= wholeBytes ? sendWhole : sendInParts;
  for (let attempt = 1; ; attempt++) {
    try {
      return (
        (await bucket.ask(() => send(bucket, file, { IfNoneMatch: "*" }, partBytes), isNotKnown)) ??
        (await bucket.ask(
          () => send(bucket, file, {}, partBytes),
          () => false,
        )) ??
        false
      );
    } catch (thrown) {
      // A stream that broke cannot be sent on by the SDK; the file can.
      const isGone = thrown instanceof SamescaleError && thrown.code === "STORE_UNREACHABLE";
      if (!isGone || attempt === ATTEMPTS || file.signal?.aborted) throw thrown;
    }
  }
}

type Condition = { readonly IfNoneMatch?: "*" };

async function sendWhole({ client, place }: Bucket, file: Upload, condition: Condition): Promise<boolean> {
  const { path, key, sha256, bytes, signal } = file;
  const sum = place.sendChecksums ? { ChecksumSHA256: Buffer.from(sha256, "hex").toString("base64") } : {};
  const command = new PutObjectCommand({
    Bucket: place.bucket,
    Key: key,
    Body: createReadStream(path),
    ContentLength: bytes,
    ...sum,
    ...condition,
  });
  // The hash goes into the signature: a store that checks signatures checks the bytes with it.
  command.middlewareStack.add(
    (next) => (args) => {
      (args.request as { headers: Record<string, string> }).headers["x-amz-content-sha256"] = sha256;
      return next(args);
    },
    { step: "build" },
  );
  return unlessTaken(() => client.send(command, signal ? { abortSignal: signal } : {}));
}

/** 412: the key is taken. 409: another one is being written to it at this moment. */
async function unlessTaken(send: () => Promise<unknown>): Promise<boolean> {
  try {
    await send();
    return true;
  } catch (thrown) {
    const status = statusOf(thrown);
    if (status === 412 || status === 409) return false;
    throw thrown;
  }
}

async function sendInParts(
  { client, place }: Bucket,
  file: Upload,
  condition: Condition,
  partBytes: number,
): Promise<boolean> {
  const at = { Bucket: place.bucket, Key: file.key };
  const sending = file.signal ? { abortSignal: file.signal } : {};
  const { UploadId } = await client.send(new CreateMultipartUploadCommand(at), sending);
  const handle = await open(file.path, "r");
  try {
    const parts: CompletedPart[] = [];
    for (let from = 0; from < file.bytes; from += partBytes) {
      const length = Math.min(partBytes, file.bytes - from);
      const { bytesRead, buffer: Body } = await handle.read(Buffer.alloc(length), 0, length, from);
      if (bytesRead !== length) throw new Error(`${file.path} became shorter while it was sent`);
      const PartNumber = parts.length + 1;
      const part = new UploadPartCommand({ ...at, UploadId, PartNumber, Body });
      const { ETag } = await client.send(part, sending);
      parts.push({ PartNumber, ...(ETag === undefined ? {} : { ETag }) });
    }
    const whole = { ...at, UploadId, MultipartUpload: { Parts: parts }, ...condition };
    const isNew = await unlessTaken(() => client.send(new CompleteMultipartUploadCommand(whole), sending));
    if (!isNew) await forget();
    return isNew;
  } catch (thrown) {
    await forget();
    throw thrown;
  } finally {
    await handle.close();
  }

  /** Parts of an upload that never ends are kept and paid for; where this fails, `sweep` finds them. */
  async function forget(): Promise<void> {
    await client.send(new AbortMultipartUploadCommand({ ...at, UploadId })).catch(() => {});
  }
}
