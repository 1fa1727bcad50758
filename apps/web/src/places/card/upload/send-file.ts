import type { Begun } from "@samescale/server";
import { type DetailedError, Upload } from "tus-js-client";
import { ownPageHeaders } from "../../../api/client.ts";
import { sha256Of } from "./hash.ts";
import type { DroppedFile } from "./read-dropped.ts";

/** Some six minutes without an answer; the count begins anew with every byte that comes through. */
const RETRY_MS = [0, 500, 1000, 2000, 3000, 5000, ...Array.from({ length: 24 }, () => 15_000)];
/** Smaller files go with the question whether they may: one request instead of two. */
const AT_ONCE_BYTES = 1_000_000;
const ARRIVED_CHANGED = 460;
const WORTH_ANOTHER_TRY = new Set([0, 409, 423, 429]);

export interface Sending {
  readonly drop: string;
  readonly file: DroppedFile & { readonly file: File };
  /** A part of it is there already. */
  readonly begun: Begun | null;
  readonly signal: AbortSignal;
  /** Bytes of it that are there now. */
  readonly onBytes: (bytes: number) => void;
  /** It is tried again, or goes on. */
  readonly onLost: (isLost: boolean) => void;
}

/** One file, resumable (tus). A file that arrived changed is sent once more, from its beginning. @throws DetailedError */
export async function sendFile(sending: Sending): Promise<void> {
  const sha256 = await sha256Of(sending.file.file);
  try {
    await sendOnce(sending, sha256, sending.begun);
  } catch (thrown) {
    if (statusOf(thrown) !== ARRIVED_CHANGED) throw thrown;
    await sendOnce(sending, sha256, null);
  }
}

function sendOnce(
  { drop, file: { path, file }, signal, onBytes, onLost }: Sending,
  sha256: string | null,
  begun: Begun | null,
): Promise<void> {
  const { promise, resolve, reject } = Promise.withResolvers<void>();
  const upload = new Upload(file, {
    endpoint: `/api/card/drop/${drop}`,
    ...(begun ? { uploadUrl: `/api/card/drop/${drop}/${begun.upload}` } : {}),
    headers: ownPageHeaders(),
    metadata: { path, modifiedMs: String(file.lastModified), ...(sha256 ? { sha256 } : {}) },
    retryDelays: RETRY_MS,
    uploadDataDuringCreation: file.size < AT_ONCE_BYTES,
    storeFingerprintForResuming: false,
    onProgress: (sent) => {
      onLost(false);
      onBytes(sent);
    },
    onShouldRetry: (error) => {
      const status = statusOf(error);
      const isWorthIt = WORTH_ANOTHER_TRY.has(status) || (status >= 500 && status !== 507);
      if (isWorthIt && status === 0) onLost(true);
      return isWorthIt;
    },
    onError: reject,
    onSuccess: () => resolve(),
  });
  const stop = () => {
    void upload.abort();
    reject(signal.reason);
  };
  if (signal.aborted) stop();
  else {
    signal.addEventListener("abort", stop, { once: true });
    upload.start();
  }
  return promise.finally(() => signal.removeEventListener("abort", stop));
}

/** 0: the server was not reached. */
export const statusOf = (thrown: unknown): number =>
  (thrown as DetailedError).originalResponse?.getStatus() ?? 0;
