import {
  AbortMultipartUploadCommand,
  ListMultipartUploadsCommand,
  ListObjectsV2Command,
} from "@aws-sdk/client-s3";
import type { Listed } from "../originals.ts";
import type { Bucket } from "./client.ts";
import { isNotKnown, statusOf } from "./faults.ts";

const KEY = /^([0-9a-f]{2})\/([0-9a-f]{2})\/([0-9a-f]{64})$/;

/** Everything below `root`, in the order of the keys: originals, and what has no business there. */
export async function* listObjects(bucket: Bucket, root: string): AsyncGenerator<Listed> {
  const { client, place } = bucket;
  const path = (key: string) => `s3://${place.bucket}/${key}`;
  let after: string | undefined;
  do {
    const question = new ListObjectsV2Command({
      Bucket: place.bucket,
      Prefix: root,
      ...(after === undefined ? {} : { ContinuationToken: after }),
    });
    const answer = await bucket.ask(() => client.send(question));
    for (const { Key = "", Size = 0 } of answer.Contents ?? []) {
      const [, first = "", second = "", sha256 = ""] = KEY.exec(Key.slice(root.length)) ?? [];
      if (sha256 !== "" && sha256.startsWith(first + second)) yield { kind: "original", sha256, bytes: Size };
      else yield { kind: "stray", path: path(Key), why: "its key is not the SHA-256 of an original" };
    }
    after = answer.IsTruncated ? answer.NextContinuationToken : undefined;
  } while (after !== undefined);
  for (const { key } of await abandonedUploads(bucket, root)) {
    yield { kind: "stray", path: path(key), why: "parts left behind by a run that was killed" };
  }
}

/** Nobody sends one file for so long; the clocks of store and program may differ by hours. */
const ABANDONED_MS = 24 * 60 * 60_000;

interface Abandoned {
  readonly key: string;
  readonly id: string;
}

/** Uploads in parts that were begun more than a day ago and never ended. None where the store cannot say. */
export async function abandonedUploads({ client, place, ask }: Bucket, root: string): Promise<Abandoned[]> {
  const question = new ListMultipartUploadsCommand({ Bucket: place.bucket, Prefix: root });
  const answer = await ask(() => client.send(question), isNotKnown);
  const before = Date.now() - ABANDONED_MS;
  return (answer?.Uploads ?? []).flatMap(({ Key, UploadId, Initiated }) =>
    Key?.startsWith(root) && UploadId && Initiated && Initiated.getTime() < before
      ? [{ key: Key, id: UploadId }]
      : [],
  );
}

export async function forgetUpload({ client, place, ask }: Bucket, { key, id }: Abandoned): Promise<void> {
  const removal = new AbortMultipartUploadCommand({ Bucket: place.bucket, Key: key, UploadId: id });
  await ask(
    () => client.send(removal),
    (thrown) => statusOf(thrown) === 404,
  );
}
