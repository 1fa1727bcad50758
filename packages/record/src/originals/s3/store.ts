import { createHash } from "node:crypto";
import { DeleteObjectCommand, HeadObjectCommand, ListObjectVersionsCommand } from "@aws-sdk/client-s3";
import { asSamescaleError, SamescaleError } from "@samescale/errors";
import { drain } from "../drain.ts";
import { missing, ORIGINAL_NAME } from "../names.ts";
import type { Originals, Put, PutOptions, Source } from "../originals.ts";
import { type LocalCopies, writeNew } from "./cache.ts";
import type { Bucket } from "./client.ts";
import { isNoSuchKey, isNotKnown } from "./faults.ts";
import { abandonedUploads, forgetUpload, listObjects } from "./listing.ts";
import { sayS3Place } from "./place.ts";
import { readObject } from "./read.ts";
import { type UploadSizes, upload } from "./upload.ts";

/** Puts of one original by this process, one after another: a store without conditions would let both write. */
const putting = new Map<string, Promise<unknown>>();

/**
 * Originals in an S3-compatible store, below `PREFIX/NAME/ab/cd/abcd…`, as in a folder. A file is written beside
 * the library first and hashed on the way, so that its key is known before anything is sent: the store never holds a
 * half-written or wrongly named one. Then it is read back from the store and compared.
 */
export function s3Originals(
  bucket: Bucket,
  name: "originals" | "derived" | "pieces",
  copies: LocalCopies,
  sizes?: UploadSizes,
): Originals {
  const { client, place } = bucket;
  const root = `${place.prefix}${name}/`;
  const keyOf = (sha256: string) => {
    if (!ORIGINAL_NAME.test(sha256)) throw missing(sha256); // never a key made of somebody's text
    return `${root}${sha256.slice(0, 2)}/${sha256.slice(2, 4)}/${sha256}`;
  };
  const at = (sha256: string) => ({ Bucket: place.bucket, Key: keyOf(sha256) });

  const originals: Originals = {
    async put(source, options = {}) {
      const known = options.expected;
      if (known !== undefined && (await originals.has(known))) {
        const read = await drain(source, options, async () => {});
        if ("error" in read) return { state: "unreadable", error: read.error };
        if (read.sha256 === known) {
          await compare(known, "ORIGINAL_DAMAGED", options.signal);
          return { state: "already", ...read };
        }
      }
      return copyIn(source, options);
    },
    async *open(sha256) {
      yield* (await get(sha256)) ?? raise(missing(sha256));
    },
    async has(sha256) {
      const head = new HeadObjectCommand(at(sha256));
      return (await bucket.ask(() => client.send(head), isNoSuchKey)) !== null;
    },
    list: () => listObjects(bucket, root),
    async rehash(sha256, signal) {
      const pieces = await get(sha256, signal);
      if (pieces === null) return null;
      const hash = createHash("sha256");
      for await (const piece of pieces) hash.update(piece);
      return hash.digest("hex");
    },
    async localFile(sha256) {
      keyOf(sha256);
      return (
        (await copies.find(sha256)) ?? (await oneAtATime(`copy ${keyOf(sha256)}`, () => fetchCopy(sha256)))
      );
    },
    async destroy(sha256) {
      const isThere = await originals.has(sha256); // refuses what is no name
      await copies.forget(sha256);
      if (!isThere) return false;
      for (const VersionId of await versionsOf(sha256)) {
        const removal = new DeleteObjectCommand({ ...at(sha256), ...(VersionId ? { VersionId } : {}) });
        await bucket.ask(() => client.send(removal));
      }
      return true;
    },
    async sweep() {
      let swept = await copies.sweep();
      for (const left of await abandonedUploads(bucket, root)) {
        await forgetUpload(bucket, left);
        swept++;
      }
      return swept;
    },
  };

  async function copyIn(source: Source, options: PutOptions): Promise<Put> {
    const file = await copies.newFile();
    try {
      const read = await writeNew(file.path, (write) => drain(source, options, write));
      if ("error" in read) return { state: "unreadable", error: read.error };
      const { sha256, bytes } = read;
      const { signal } = options;
      const isNew = await oneAtATime(keyOf(sha256), async () => {
        if (await originals.has(sha256)) return false;
        return upload(bucket, { path: file.path, key: keyOf(sha256), sha256, bytes, signal }, sizes);
      });
      await compare(sha256, isNew ? "ORIGINAL_NOT_VERIFIED" : "ORIGINAL_DAMAGED", signal);
      await copies.adopt(file.path, sha256);
      return { state: isNew ? "stored" : "already", ...read };
    } catch (thrown) {
      if (options.signal?.aborted) throw options.signal.reason;
      throw asSamescaleError(thrown, sayS3Place(place));
    } finally {
      await file.drop();
    }
  }

  async function compare(sha256: string, code: Fault, signal?: AbortSignal): Promise<void> {
    const found = await originals.rehash(sha256, signal);
    if (found === sha256) return;
    if (code === "ORIGINAL_DAMAGED") throw damaged(sha256, found);
    // Made a moment ago by this call, and wrong: it must not keep the name of the right one.
    await originals.destroy(sha256);
    throw new SamescaleError(
      "ORIGINAL_NOT_VERIFIED",
      `What was read back differs from what was sent: expected ${sha256}, read ${found} from ${sayS3Place(place)}`,
      "Do not trust this store. Keep the card and tell who keeps the store.",
    );
  }

  async function fetchCopy(sha256: string): Promise<string> {
    const pieces = await get(sha256);
    if (pieces === null) throw missing(sha256);
    const file = await copies.newFile();
    try {
      const hash = createHash("sha256");
      await writeNew(file.path, async (write) => {
        for await (const piece of pieces) {
          hash.update(piece);
          await write(piece);
        }
      });
      const found = hash.digest("hex");
      if (found !== sha256) throw damaged(sha256, found);
      return await copies.adopt(file.path, sha256);
    } finally {
      await file.drop();
    }
  }

  const get = (sha256: string, signal?: AbortSignal) => readObject(bucket, keyOf(sha256), signal);

  /** Where the bucket keeps versions, all of them: destroyed means that no older one is left. */
  async function versionsOf(sha256: string): Promise<(string | undefined)[]> {
    const question = new ListObjectVersionsCommand({ Bucket: place.bucket, Prefix: keyOf(sha256) });
    const answer = await bucket.ask(() => client.send(question), isNotKnown);
    const found = [...(answer?.Versions ?? []), ...(answer?.DeleteMarkers ?? [])].flatMap((each) =>
      each.Key === keyOf(sha256) ? [each.VersionId] : [],
    );
    return found.length > 0 ? found : [undefined];
  }

  function damaged(sha256: string, found: string | null): SamescaleError {
    return new SamescaleError(
      "ORIGINAL_DAMAGED",
      `The library's own copy of this file is damaged: ${keyOf(sha256)} in ${sayS3Place(place)} has the SHA-256 ${found}`,
      "Keep the card, it holds a good copy. Have the damaged object moved away and take the card in again.",
    );
  }

  return originals;
}

type Fault = "ORIGINAL_DAMAGED" | "ORIGINAL_NOT_VERIFIED";

async function oneAtATime<T>(key: string, work: () => Promise<T>): Promise<T> {
  const before = putting.get(key) ?? Promise.resolve();
  const mine = before.then(work, work);
  putting.set(key, mine);
  try {
    return await mine;
  } finally {
    if (putting.get(key) === mine) putting.delete(key);
  }
}

function raise(error: Error): never {
  throw error;
}
