import { randomBytes } from "node:crypto";
import {
  DeleteObjectCommand,
  GetBucketVersioningCommand,
  GetObjectCommand,
  GetObjectLockConfigurationCommand,
  PutObjectCommand,
} from "@aws-sdk/client-s3";
import { SamescaleError } from "@samescale/errors";
import { type Bucket, bucketAt } from "../originals/s3/client.ts";
import { statusOf } from "../originals/s3/faults.ts";
import { type S3Address, s3Place, sayS3Place } from "../originals/s3/place.ts";
import { openPostgresDatabase } from "../tables/postgres/open.ts";
import { postgresPlace } from "../tables/postgres/place.ts";
import type { Places } from "./places.ts";
import { type Secrets, storeCredentials } from "./secrets.ts";

/** What the places answered. Null: that part is in the library's folder. */
export interface PlacesAnswered {
  readonly tables: {
    readonly name: string;
    readonly holds: "a library" | "nothing yet";
    /** What a department should put right. */
    readonly faults: readonly string[];
  } | null;
  readonly originals: {
    readonly name: string;
    /** The store itself refuses to replace an object (`If-None-Match`); without, only our own looking prevents it. */
    readonly neverReplaces: boolean;
    /** What is overwritten or removed can be brought back; null: the store does not say. */
    readonly keepsVersions: boolean | null;
    /** What is there cannot be removed by anyone for a time; null: the store does not say. */
    readonly objectLock: boolean | null;
  } | null;
}

/** Asks both places: are they there, may we, and what do they keep to. Leaves nothing behind. */
export async function checkPlaces(places: Places, secrets: Secrets): Promise<PlacesAnswered> {
  return {
    tables: places.tables === null ? null : await checkTables(places.tables, secrets.tablesPassword),
    originals: places.originals === null ? null : await checkStore(places.originals, secrets),
  };
}

async function checkTables(address: string, password: string | null) {
  const database = openPostgresDatabase(postgresPlace(address, password), { readOnly: true });
  try {
    const owner = await database.owner();
    if (owner === "other") {
      throw new SamescaleError(
        "NOT_A_LIBRARY",
        `${database.name} is a database of another program`,
        "Name an empty database, or one that holds a Samescale library.",
      );
    }
    const holds = owner === "ours" ? ("a library" as const) : ("nothing yet" as const);
    return { name: database.name, holds, faults: await database.faults() };
  } finally {
    await database.close();
  }
}

async function checkStore(address: S3Address, secrets: Secrets) {
  const place = s3Place(address, storeCredentials(secrets));
  const bucket = bucketAt(place);
  try {
    const neverReplaces = await tryOut(bucket);
    const at = { Bucket: place.bucket };
    const versions = await said(bucket, () => bucket.client.send(new GetBucketVersioningCommand(at)));
    const lock = await said(bucket, () => bucket.client.send(new GetObjectLockConfigurationCommand(at)));
    return {
      name: sayS3Place(place),
      neverReplaces,
      keepsVersions: versions && versions.Status === "Enabled",
      objectLock: lock && lock.ObjectLockConfiguration?.ObjectLockEnabled === "Enabled",
    };
  } finally {
    bucket.close();
  }
}

/** Writes, writes again where nothing may be replaced, reads and removes a small object. */
async function tryOut({ client, place, ask }: Bucket): Promise<boolean> {
  const Key = `${place.prefix}trial/${randomBytes(8).toString("hex")}`;
  const at = { Bucket: place.bucket, Key };
  const words = "samescale library check";
  await ask(() => client.send(new PutObjectCommand({ ...at, Body: words })));
  try {
    const { Body } = await ask(() => client.send(new GetObjectCommand(at)));
    if ((await Body?.transformToString()) !== words) {
      throw new SamescaleError(
        "ORIGINAL_NOT_VERIFIED",
        `What was read back differs from what was sent to ${sayS3Place(place)}`,
        "Do not trust this store; tell who keeps it.",
      );
    }
    const again = new PutObjectCommand({ ...at, Body: words, IfNoneMatch: "*" });
    return (
      (await ask(
        () => client.send(again),
        (thrown) => statusOf(thrown) === 412,
      )) === null
    );
  } finally {
    await ask(() => client.send(new DeleteObjectCommand(at)));
  }
}

/** Stores that do not know the question, do not answer it to everyone, or have nothing set up say so in many ways. */
async function said<T>({ ask }: Bucket, question: () => Promise<T>): Promise<T | null> {
  return ask(question, (thrown) => (statusOf(thrown) ?? 0) >= 400);
}
