import { createHash } from "node:crypto";
import { ListObjectsV2Command, PutObjectCommand } from "@aws-sdk/client-s3";
import { SamescaleError } from "@samescale/errors";
import type { Bucket } from "../originals/s3/client.ts";
import { sayS3Place } from "../originals/s3/place.ts";
import { readObject } from "../originals/s3/read.ts";
import type { Notes } from "./notes.ts";

/** As in a folder. */
const MOST_BYTES = 1 << 28;

/** Notes as objects of an S3-compatible store, below the place's prefix. An object appears whole or not at all. */
export function notesInS3(bucket: Bucket): Notes {
  const { client, place, ask } = bucket;
  const at = (name: string) => ({ Bucket: place.bucket, Key: place.prefix + name });

  async function read(name: string): Promise<Uint8Array | null> {
    const pieces = await readObject(bucket, place.prefix + name);
    if (pieces === null) return null;
    const parts: Uint8Array[] = [];
    let bytes = 0;
    for await (const piece of pieces) {
      bytes += piece.length;
      if (bytes > MOST_BYTES) throw tooLong(name, sayS3Place(place));
      parts.push(piece);
    }
    return Buffer.concat(parts);
  }

  return {
    read,
    async write(name, bytes) {
      const sum = place.sendChecksums ? { ChecksumSHA256: sumOf(bytes).toString("base64") } : {};
      await ask(() => client.send(new PutObjectCommand({ ...at(name), Body: bytes, ...sum })));
      const found = await read(name);
      if (found !== null && sumOf(found).equals(sumOf(bytes))) return;
      throw new SamescaleError(
        "ORIGINAL_NOT_VERIFIED",
        `What was read back differs from what was sent: ${name} in ${sayS3Place(place)}`,
        "Do not trust this store; tell who keeps it.",
      );
    },
    async list(folder) {
      const Prefix = `${place.prefix}${folder}/`;
      const names: string[] = [];
      let ContinuationToken: string | undefined;
      do {
        const more = ContinuationToken === undefined ? {} : { ContinuationToken };
        const question = new ListObjectsV2Command({ Bucket: place.bucket, Prefix, ...more });
        const answer = await ask(() => client.send(question));
        for (const { Key = "" } of answer.Contents ?? []) names.push(Key.slice(Prefix.length));
        ContinuationToken = answer.IsTruncated ? answer.NextContinuationToken : undefined;
      } while (ContinuationToken !== undefined);
      return names.filter((name) => name !== "" && !name.includes("/")).sort();
    },
  };
}

const sumOf = (bytes: Uint8Array): Buffer => createHash("sha256").update(bytes).digest();

function tooLong(name: string, place: string): SamescaleError {
  return new SamescaleError(
    "BACKUP_UNREADABLE",
    `${name} in ${place} is longer than any note that was written`,
    "Somebody or something changed it; take another copy of the backup.",
  );
}
